import { useEffect, useState } from 'react'
import { MOUNTS, ROLLER_KINDS } from '../../../lib/geometry/mounting.ts'
import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { degrees } from '../../../lib/geometry/vector.ts'
import { ARROW_LIMIT } from '../../../lib/geometry/warnings.ts'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import { typed } from '../../_language/current.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import { RUNS_UNTOLD } from '../_drawing/SideView.tsx'
import { signalOf } from '../_figures/signal-figure.ts'
import { inDegrees, plainWithU } from '../_figures/words.ts'
import { compute, type Figures, LEVELS } from '../_model/compute.ts'
import { type EditorState, isDirty } from '../_model/editor-state.ts'
import { type Side, withArrow } from '../_model/edits.ts'
import type { Drawing } from '../_model/rollers.ts'
import { AsFound } from './AsFound.tsx'
import styles from './Card.module.css'
import { EndDrawing } from './EndDrawing.tsx'
import { endPicture, endsOf } from './end-picture.ts'

interface SetUpCardProps {
  readonly state: EditorState
  readonly facts: ZoneFacts
  /** Plant and line. */
  readonly owner: string
}

/** One page to take to the machine. */
export function SetUpCard({ state, facts, owner }: SetUpCardProps) {
  const figures = figuresAtTarget(state.history.present, facts)
  return (
    <div className={styles.frame}>
      <div className={styles.actions}>
        <button type="button" className="control" onClick={() => setQuery('card', null, 'push')}>
          Back to the drawing
        </button>
        <button type="button" className="control" disabled={figures === null} onClick={() => print()}>
          Print
        </button>
      </div>
      {figures === null ? (
        <p className={styles.none}>
          There is no card for a layout that cannot be. The layout check on the drawing says what to mend.
        </p>
      ) : (
        <Card figures={figures} state={state} facts={facts} owner={owner} />
      )}
    </div>
  )
}

/** Figures with every arrow at the angle to set, for the running web; null for a layout that cannot be. */
function figuresAtTarget(drawing: Drawing, facts: ZoneFacts): Figures | null {
  const speed = drawing.tension.fastest_m_min / 60
  const target = compute(drawing, facts, speed).figures?.levels.normal.expected.target.angle
  if (target === undefined) return null
  const sides = Object.keys(facts.cells) as Side[]
  const set = sides.reduce((drawn, side) => withArrow(drawn, side, degrees(target)), drawing)
  return compute(set, facts, speed).figures
}

function Card({ figures, state, facts, owner }: SetUpCardProps & { readonly figures: Figures }) {
  const { normal } = figures.levels
  const { target, wrap } = normal.expected
  const { measuring } = figures.configured.geometry.path
  const sides = entriesOf(normal.expected.sides).map(([side]) => side)
  const { runs_seen_from_operator_side: told } = state.history.present
  return (
    <article className={styles.card} data-testid="card">
      <header className={styles.head}>
        <h1>Set-up card: {facts.name}</h1>
        <p>
          {owner === '' ? 'Plant and line not named' : typed(owner)} · roller “{typed(measuring.name)}” ·{' '}
          <Revision state={state} /> · <PrintedOn />
        </p>
      </header>
      <section className={styles.angle} aria-label="Angle to set">
        <p className={styles.large}>{inDegrees(target.words.fromVertical)}</p>
        <p>
          <strong>{target.words.sentence}</strong>, each end, within ±{inDegrees(ARROW_LIMIT, 0)} (common practice, no
          source). Wrap {inDegrees(wrap.angle)}. The words hold from both ends; the pictures show each end as you face
          it.
        </p>
      </section>
      {told === undefined && (
        <p className={styles.assumed}>
          The pictures suppose that the web runs {RUNS_UNTOLD} for a person at the operator side. Nobody has told the
          drawing: check it, or go by the words.
        </p>
      )}
      <div className={styles.ends} data-ends={endsOf(sides).length}>
        {endsOf(sides).map((end) => (
          <EndDrawing
            key={end}
            picture={endPicture(end, target.angle, wrap, measuring.radius, measuring.centre, told ?? RUNS_UNTOLD)}
            wrap={wrap}
            isCantilever={sides.includes('single')}
          />
        ))}
      </div>
      <ExpectedSignals figures={figures} sides={sides} />
      <Clearance figures={figures} />
      <Checks figures={figures} />
      <section className={styles.cautions}>
        <h2>Before you touch anything</h2>
        <ul>
          <li>
            Machine stopped and locked out under the site’s own procedure; a web under tension and a roller can move.
          </li>
          <li>
            Local codes, the makers’ instructions for cell, roller and amplifier, and qualified people go before this
            card.
          </li>
          <li>
            Support the roller while a cell is loose. A known weight hangs on a rope along the true web path, nobody
            under it.
          </li>
        </ul>
      </section>
      <AsFound sides={sides} />
    </article>
  )
}

function Revision({ state }: { readonly state: EditorState }) {
  return isDirty(state) || state.base === null ? (
    <strong>NOT SAVED: unsaved drawing</strong>
  ) : (
    <>revision {state.held.revision}</>
  )
}

function PrintedOn() {
  const [time, setTime] = useState<number | null>(null)
  useEffect(() => {
    const note = () => setTime(Date.now())
    note()
    addEventListener('beforeprint', note)
    return () => removeEventListener('beforeprint', note)
  }, [])
  return time === null ? 'today' : `${formatDay(time)}, ${formatClock(time).slice(0, 5)}`
}

function ExpectedSignals({ figures, sides }: { readonly figures: Figures; readonly sides: readonly Side[] }) {
  const units = useUnits()
  const { levels, configured } = figures
  const { fastestSpeed } = configured.geometry.load
  return (
    <WideBox label="Expected signals">
      <table className={styles.table}>
        <caption>
          Expected with the arrows so set, web running at {units.plain(fastestSpeed, 'm/s', false)}: force of the web
          along the arrow, and signal (± at about 95 %)
        </caption>
        <thead>
          <tr>
            <th scope="col">Side</th>
            <th scope="col">bare roller</th>
            {LEVELS.map((name) => (
              <th key={name} scope="col">
                {name}, {units.plain(levels[name].state.tension, 'N', false)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sides.map((side) => (
            <tr key={side} data-testid={`card-${side}`}>
              <th scope="row">{SIDES[side].title}</th>
              <td>{bareSignal(figures, side)}</td>
              {LEVELS.map((name) => {
                const { webForce } = ofSide(levels[name].uncertain.sides, side)
                const signal = signalOf(figures, levels[name], side)
                return (
                  <td key={name}>
                    {units.figure(webForce.value, webForce.U, 'N').text}
                    <br />
                    {signal === null ? '' : plainWithU(signal.value, signal.U, signal.unit)}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}

/** What the meter shows before the web is on. */
function bareSignal({ signals, levels }: Figures, side: Side): string {
  const source = signals[side]
  if (source == null) return 'no electrical scale'
  const value = source.kind === 'channel' ? source.zero : ofSide(levels.normal.expected.sides, side).bareSignal
  return plainWithU(value, null, source.unit)
}

/** What the kind of roller and of mount ask to be looked at. */
function Checks({ figures }: { readonly figures: Figures }) {
  const { roller, mount } = figures.configured.geometry
  const checks = [...ROLLER_KINDS[roller.kind].checks, ...MOUNTS[mount].checks]
  return (
    <p>
      <strong>
        Look at ({roller.kind}, {mount} mount):
      </strong>{' '}
      {checks.join('; ')}. To turn the arrow: {MOUNTS[mount].how}.
    </p>
  )
}

function Clearance({ figures }: { readonly figures: Figures }) {
  const units = useUnits()
  const { fit } = figures.configured.geometry
  const told = figures.levels.normal.expected.fit
  return (
    <p>
      <strong>End clearance:</strong>{' '}
      {fit === null || told === null
        ? 'none entered; 1.5 to 3 mm is common practice, the cell’s maker decides.'
        : `${units.plain(fit.ends.clearance, 'm', true)}; the shaft grows by ${units.plain(told.growth, 'm', true)}${fit.ends.shared ? ', shared by both ends' : ', all of it at one end'}, ${units.plain(told.left, 'm', true)} left warm.`}
    </p>
  )
}
