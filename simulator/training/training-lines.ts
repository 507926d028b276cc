import { SCENARIOS } from '../scenarios/registry.ts'
import type { Scenario } from '../scenarios/scenario.ts'

/** Lines to train at: those that run, and one that stands freshly fitted. */
const IDS = ['install', 'wide-film', 'narrow-foil', 'fast-paper', 'winder', 'demo']

/** In words that do not say what is wrong with one: nothing is. */
const TITLES: Readonly<Record<string, string>> = {
  install: 'Laminator: 1.2 m of laminate, freshly fitted, standing with its web slack',
  'wide-film': 'Slitter: wide film at low tension',
  'narrow-foil': 'Foil pull: a narrow, strong web at low speed',
  'fast-paper': 'Rewinder: paper at high speed',
  winder: 'Winder: the roll behind the measuring roller grows',
  demo: 'Coater: two zones in an ordinary shift',
}

export interface TrainingLine {
  readonly id: string
  readonly title: string
  readonly zones: readonly string[]
  readonly scenario: Scenario
}

export const TRAINING_LINES: readonly TrainingLine[] = IDS.flatMap((id) =>
  SCENARIOS.filter((scenario) => scenario.id === id).map((scenario) => ({
    id,
    title: TITLES[id] ?? scenario.title,
    zones: Object.keys(scenario.parameters().zones),
    scenario,
  })),
)

export function trainingLine(id: string): TrainingLine | undefined {
  return TRAINING_LINES.find((line) => line.id === id)
}
