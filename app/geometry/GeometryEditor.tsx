import { type ReactNode, useDeferredValue, useEffect, useMemo, useState } from 'react'
import { degrees, signedAngle } from '../../lib/geometry/vector.ts'
import type { ZoneFacts } from '../../shared/schemas/config-write.ts'
import { setQuery } from '../_ui/query.ts'
import { useRememberedFlag } from '../_ui/remembered.ts'
import { FLIP_KEY } from '../_ui/view-choices.ts'
import { ForcesKey } from './_drawing/ForcesKey.tsx'
import { isMirroredView, SideView } from './_drawing/SideView.tsx'
import { AngleToSet } from './_figures/AngleToSet.tsx'
import { Budget } from './_figures/Budget.tsx'
import { CapacityCheck } from './_figures/CapacityCheck.tsx'
import { ExpectedTable } from './_figures/ExpectedTable.tsx'
import { MainFigures } from './_figures/MainFigures.tsx'
import { MovingNeighbour } from './_figures/MovingNeighbour.tsx'
import { SensitivityTable } from './_figures/SensitivityTable.tsx'
import { ShaftFit } from './_figures/ShaftFit.tsx'
import { Warnings } from './_figures/Warnings.tsx'
import { ArrowFields } from './_form/ArrowFields.tsx'
import { FitFields } from './_form/FitFields.tsx'
import { LoadFields } from './_form/LoadFields.tsx'
import { MovingFields } from './_form/MovingFields.tsx'
import { OutputFields } from './_form/OutputFields.tsx'
import { RollerTable } from './_form/RollerTable.tsx'
import { UncertaintyFields } from './_form/UncertaintyFields.tsx'
import { compute, type Figures } from './_model/compute.ts'
import type { EditorState } from './_model/editor-state.ts'
import type { Side } from './_model/edits.ts'
import type { Editor } from './_model/use-editor.ts'
import styles from './Geometry.module.css'
import { SaveBar } from './SaveBar.tsx'
import { SpeedChoice } from './SpeedChoice.tsx'
import { ViewToolbar } from './ViewToolbar.tsx'

interface GeometryEditorProps {
  readonly editor: Editor
  readonly state: EditorState
  readonly facts: ZoneFacts
}

/** The drawing, the figures that follow it, and everything that is typed. */
export function GeometryEditor({ editor, state, facts }: GeometryEditorProps) {
  const [isFlipped, setFlipped] = useRememberedFlag(FLIP_KEY, false)
  const [selected, setSelected] = useState<string | null>(null)
  const [isStanding, setStanding] = useState(false)
  const drawing = state.history.present
  const sides = Object.keys(facts.cells) as Side[]
  const speed = isStanding ? 0 : drawing.tension.fastest_m_min / 60
  const computed = useMemo(() => compute(drawing, facts, speed), [drawing, facts, speed])
  // The tables may lag a frame behind a finger; the picture and the large figure may not.
  const slower = useDeferredValue(computed)
  useUndoKeys(editor)
  const form = { drawing, onChange: editor.change, onSettle: editor.settle }
  const target = computed.figures?.levels.normal.expected.target.angle ?? null
  const targetDeg = target === null ? null : degrees(signedAngle(target))
  const end = isFlipped ? 'drive_side' : 'operator_side'
  return (
    <div className={styles.page} data-testid="geometry">
      <header className={styles.head}>
        <div className={styles.heading}>
          <h1>Geometry: {facts.name}</h1>
          <button
            type="button"
            className="control"
            onClick={() => setQuery('card', '1', 'push')}
            data-testid="open-card"
          >
            Set-up card
          </button>
        </div>
        <SaveBar editor={editor} state={state} />
      </header>
      <div className={styles.top}>
        <div className={styles.drawing}>
          <ViewToolbar editor={editor} state={state} end={end} onFlip={() => setFlipped(!isFlipped)} />
          <SideView {...form} computed={computed} sides={sides} end={end} selected={selected} onSelect={setSelected} />
          <p id="side-view-keys" className={styles.soft}>
            Drag a roller or the tip of an arrow. With the keyboard: Tab to it, then the arrow keys move a roller 1 mm
            (10 mm with Shift) and turn an arrow 0.1° (1° with Shift).
          </p>
          <ForcesKey figures={computed.figures} />
        </div>
        <div className={styles.beside}>
          <AngleToSet figures={computed.figures} />
          <Warnings computed={computed} />
        </div>
      </div>
      <div className={styles.abreast}>
        <Section title="Rollers">
          <RollerTable {...form} selected={selected} onSelect={setSelected} isMirrored={isMirroredView(drawing, end)} />
        </Section>
        <Section title="Arrows">
          <ArrowFields {...form} sides={sides} targetDeg={targetDeg} />
        </Section>
      </div>
      <FigureSections figures={slower.figures}>
        <SpeedChoice
          isStanding={isStanding}
          onChoose={setStanding}
          fastest={drawing.tension.fastest_m_min / 60}
          momentum={slower.figures?.levels.normal.expected.momentum ?? null}
        />
      </FigureSections>
      <h2 className={styles.entered}>What the figures rest on</h2>
      <Section title="Tensions, roller and mount">
        <LoadFields {...form} />
      </Section>
      <Section title="Signal">
        <OutputFields {...form} sides={sides} capacityN={(side) => facts.cells[side]?.capacityN ?? 0} />
      </Section>
      <Section title="Moving neighbour">
        <MovingFields {...form} />
      </Section>
      <Section title="Shaft and ends">
        <FitFields {...form} />
      </Section>
      <Section title="Standard uncertainties">
        <UncertaintyFields {...form} />
      </Section>
    </div>
  )
}

function Section({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  const id = `part-${title.toLowerCase().replaceAll(/[^a-z]+/g, '-')}`
  return (
    <section className={styles.section} aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      {children}
    </section>
  )
}

function FigureSections({ figures, children }: { readonly figures: Figures | null; readonly children: ReactNode }) {
  if (figures === null)
    return (
      <Section title="Figures">
        <p className={styles.soft}>
          No figure is told for a layout that cannot be. The layout check says what to mend.
        </p>
      </Section>
    )
  return (
    <>
      <Section title="Expected signals">
        {children}
        <ExpectedTable figures={figures} />
      </Section>
      <Section title="From the layout">
        <MainFigures figures={figures} />
      </Section>
      <Section title="Capacity">
        <CapacityCheck figures={figures} />
      </Section>
      <Section title="What a small change does">
        <SensitivityTable figures={figures} />
      </Section>
      <Section title="Over the range of a moving neighbour">
        <MovingNeighbour figures={figures} />
      </Section>
      <Section title="Growth against clearance">
        <ShaftFit figures={figures} />
      </Section>
      <Section title="Where the uncertainty comes from">
        <Budget figures={figures} />
      </Section>
    </>
  )
}

/** Ctrl+Z and Ctrl+Shift+Z, but in a field the browser's own undo of the typing. */
function useUndoKeys({ undo, redo }: Editor): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.key.toLowerCase() !== 'z' || !(event.ctrlKey || event.metaKey) || event.altKey) return
      if (event.target instanceof HTMLElement && event.target.closest('input[type="text"]') !== null) return
      event.preventDefault()
      if (event.shiftKey) redo()
      else undo()
    }
    addEventListener('keydown', press)
    return () => removeEventListener('keydown', press)
  }, [undo, redo])
}
