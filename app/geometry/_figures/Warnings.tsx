import { warningSentence } from '../../../lib/geometry/warning-words.ts'
import type { Computed, Figures, LevelName } from '../_model/compute.ts'
import { LEVELS } from '../_model/compute.ts'
import styles from './Figures.module.css'
import { remedyOf } from './remedies.ts'

/** What cannot be or is risky in this layout, each with what to do. */
export function Warnings({ computed: { figures, problems } }: { readonly computed: Computed }) {
  const risks = figures === null ? [] : risksOf(figures)
  return (
    <section className={styles.warnings} aria-labelledby="layout-check" data-testid="layout-check">
      <h2 id="layout-check">Layout check</h2>
      {problems.length > 0 && (
        <ul>
          {problems.map((problem) => (
            <li key={problem} className={styles.problem}>
              <strong>This cannot be.</strong> {problem} <span>No figure is told until it is mended.</span>
            </li>
          ))}
        </ul>
      )}
      {risks.length > 0 && (
        <ul>
          {risks.map(({ sentence, remedy }) => (
            <li key={sentence} className={styles.risk}>
              {sentence} <span className={styles.remedy}>{remedy}</span>
            </li>
          ))}
        </ul>
      )}
      {problems.length === 0 && risks.length === 0 && <p className={styles.soft}>Nothing found against it.</p>}
    </section>
  )
}

/** Every warning once, whichever of the three tensions it comes from. */
function risksOf({ levels }: Figures): { readonly sentence: string; readonly remedy: string }[] {
  const found = new Map<string, { sentence: string; remedy: string }>()
  for (const name of ['normal', ...LEVELS] as readonly LevelName[]) {
    for (const warning of levels[name].expected.warnings) {
      const key = JSON.stringify([warning.code, 'side' in warning ? warning.side : ''])
      if (!found.has(key)) found.set(key, { sentence: warningSentence(warning), remedy: remedyOf(warning) })
    }
  }
  return [...found.values()]
}
