import { EvenpullError } from '../../shared/errors.ts'
import { demo } from './demo.ts'
import { fastPaper } from './fast-paper.ts'
import { install } from './install.ts'
import { narrowFoil } from './narrow-foil.ts'
import type { Scenario } from './scenario.ts'
import { startStop } from './start-stop.ts'
import { wideFilm } from './wide-film.ts'
import { winder } from './winder.ts'

/** Every scenario, by the word of the command line. A new one gets its line here. */
export const SCENARIOS: readonly Scenario[] = [demo, startStop, winder, wideFilm, narrowFoil, fastPaper, install]

/** The scenario of this name; EVP_USAGE with the list when there is none. */
export function findScenario(id: string): Scenario {
  const found = SCENARIOS.find((scenario) => scenario.id === id)
  if (found !== undefined) return found
  const list = SCENARIOS.map((scenario) => `  ${scenario.id}: ${scenario.title}`).join('\n')
  throw new EvenpullError('EVP_USAGE', `there is no scenario "${id}"; there are\n${list}`)
}
