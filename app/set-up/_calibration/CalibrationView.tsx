import { useState } from 'react'
import { useHello } from '../../_stream/store.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import { sidesOf } from '../../_ui/sides.ts'
import styles from './Calibration.module.css'
import { CreepPanel } from './CreepPanel.tsx'
import { LiveReadings } from './LiveReadings.tsx'
import { OffCentrePanel } from './OffCentrePanel.tsx'
import { Refusal } from './Refusal.tsx'
import { useCapture } from './use-capture.ts'
import { useZoneView } from './use-view.ts'
import { WeightsPanel } from './WeightsPanel.tsx'
import { ZeroPanel } from './ZeroPanel.tsx'

/** In the order they are done in; the last two belong to a calibration that is not accepted yet. */
const STEPS = [
  { id: 'weights', words: 'Known weights', needsTwo: false },
  { id: 'zero', words: 'Zero only', needsTwo: false },
  { id: 'off-centre', words: 'Off-centre check', needsTwo: true },
  { id: 'creep', words: 'Creep', needsTwo: false },
] as const

/** Zero and gain of a zone's cells, from the roller itself. */
export function CalibrationView({ zoneId }: { readonly zoneId: string }) {
  const answer = useZoneView(zoneId)
  const zone = useHello()?.zones.zones.find(({ id }) => id === zoneId)
  const asked = useQuery('do')
  const view = answer?.ok ? answer.value : null
  const capture = useCapture(zoneId, view)
  const [written, setWritten] = useState<string | null>(null)
  const sides = zone === undefined ? [] : sidesOf(zone)
  const steps = STEPS.filter(({ needsTwo }) => !needsTwo || sides.length > 1)
  const mode = steps.find(({ id }) => id === asked)?.id ?? 'weights'
  const hindrance = view === null || zone === undefined ? 'Waits for the gateway.' : null
  const shared = { sides, capture, hindrance, onWritten: setWritten }
  return (
    <div className={styles.page} data-testid="calibration">
      <header className={styles.head}>
        <p>
          <button type="button" className={styles.back} onClick={leave}>
            ← Set-up
          </button>
        </p>
        <h1>Calibrate: {view?.zone.name ?? zoneId}</h1>
        <p className={styles.caution}>
          Only with the machine stopped and locked out under your site’s own procedure. Hang weights on a rope along the
          true web path, at mid-span; keep clear of what hangs. Local codes, the makers’ instructions and qualified
          people come before this page. It writes numbers into this gateway’s config, never into a device.
        </p>
        <div className={styles.modes}>
          {steps.map(({ id, words }) => (
            <button key={id} type="button" className="control" aria-pressed={mode === id} onClick={() => choose(id)}>
              {words}
            </button>
          ))}
        </div>
      </header>
      {written !== null && (
        <p className={styles.written} role="status" data-testid="written">
          Written: revision <code>{written}</code> is in force.{' '}
          <button type="button" className={styles.back} onClick={leaveToRevisions}>
            See it under Revisions
          </button>
        </p>
      )}
      {answer !== null && !answer.ok && (
        <Refusal failure={answer.failure} what="This zone cannot be calibrated here." />
      )}
      {view !== null && (
        <>
          <LiveReadings view={view} sides={sides} />
          {mode === 'zero' && <ZeroPanel view={view} {...shared} />}
          {mode === 'weights' && <WeightsPanel view={view} {...shared} />}
          {mode === 'off-centre' && (
            <OffCentrePanel view={view} sides={sides} capture={capture} hindrance={hindrance} />
          )}
          {mode === 'creep' && <CreepPanel view={view} sides={sides} hindrance={hindrance} />}
        </>
      )}
    </div>
  )

  function choose(next: (typeof STEPS)[number]['id']) {
    capture.cancel()
    setQuery('do', next === 'weights' ? null : next, 'replace')
  }
}

function leave(): void {
  setQuery('do', null, 'replace')
  setQuery('calibrate', null, 'push')
}

/** The list stands on the page this one hides: shown first, then jumped to. */
function leaveToRevisions(): void {
  leave()
  requestAnimationFrame(() => document.getElementById('revisions')?.scrollIntoView())
}
