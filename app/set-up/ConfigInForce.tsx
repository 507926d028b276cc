import type { ConfigStatus } from '../../shared/schemas/health.ts'
import { formatClock, formatLongDay } from '../_ui/format.ts'
import styles from './SetUp.module.css'

/** Which config runs. What a refused edit did wrong stands at the head of every page. */
export function ConfigInForce({ config }: { readonly config: ConfigStatus }) {
  const { refused } = config
  return (
    <section className={styles.section} aria-labelledby="config-title" data-testid="config-status">
      <h2 id="config-title">Config in force</h2>
      <dl className={styles.pairs}>
        <div>
          <dt>File</dt>
          <dd className={styles.path}>{config.file}</dd>
        </div>
        <div>
          <dt>Revision</dt>
          <dd>
            <code>{config.revision}</code> (first digits of the SHA-256 of its text)
          </dd>
        </div>
        <div>
          <dt>Loaded</dt>
          <dd>
            {formatLongDay(config.loadedMs)}, {formatClock(config.loadedMs)}
          </dd>
        </div>
        <div>
          <dt>Newer edit</dt>
          <dd>
            {refused === null ? (
              'none waiting: the file as saved is the one that runs'
            ) : (
              <>
                refused at {formatClock(refused.timeMs)}:{' '}
                <a href="#config-refused">
                  {refused.errors.length === 1 ? 'one mistake' : `${refused.errors.length} mistakes`}, each with its
                  line
                </a>
              </>
            )}
          </dd>
        </div>
      </dl>
    </section>
  )
}
