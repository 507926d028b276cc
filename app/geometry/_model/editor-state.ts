import type { Held } from './api.ts'
import { isSame } from './differences.ts'
import type { Draft } from './draft-store.ts'
import { changed, type History, redone, settled, startHistory, undone } from './history.ts'
import type { Drawing } from './rollers.ts'
import { startingDrawing } from './starting-drawing.ts'

/** The drawing with its steps, and what the file holds. Pure. */
export interface EditorState {
  /** What the gateway said last. */
  readonly held: Held
  readonly history: History<Drawing>
  /** What the drawing was made from: the zone's geometry in the file (null: none) and the file's revision. */
  readonly base: Drawing | null
  readonly baseRevision: string
  /** The drawing was found in this browser when the page was opened. */
  readonly isFromDraft: boolean
}

export type EditorAction =
  | { readonly type: 'held'; readonly held: Held; readonly draft: Draft | null }
  | { readonly type: 'change'; readonly next: (drawing: Drawing) => Drawing; readonly gesture: string | null }
  | { readonly type: 'settle' }
  | { readonly type: 'undo' }
  | { readonly type: 'redo' }
  | { readonly type: 'saved'; readonly drawing: Drawing; readonly revision: string }
  | { readonly type: 'keep-mine' }
  | { readonly type: 'take-theirs' }

const drawingOf = (held: Held): Drawing => held.geometry ?? startingDrawing(held.zone)

/** The drawing differs from what it was made from: there is something to save and to keep. */
export const isDirty = ({ base, history, held }: EditorState): boolean =>
  !isSame(history.present, base ?? startingDrawing(held.zone))

/** The zone has no geometry in the file yet, and nobody has drawn one: the drawing is only there to begin with. */
export const isStartingDrawing = (state: EditorState): boolean => state.base === null && !isDirty(state)

/** The file's geometry of this zone was changed by someone else while this drawing was being changed. */
export const isInConflict = (state: EditorState): boolean =>
  state.held.revision !== state.baseRevision && !isSame(state.held.geometry, state.base)

export function editorReducer(state: EditorState | null, action: EditorAction): EditorState | null {
  if (action.type === 'held') return state === null ? opened(action.held, action.draft) : heldAnew(state, action.held)
  if (state === null) return null
  const withHistory = (history: History<Drawing>): EditorState => ({ ...state, history })
  switch (action.type) {
    case 'change':
      return withHistory(changed(state.history, action.next(state.history.present), action.gesture))
    case 'settle':
      return withHistory(settled(state.history))
    case 'undo':
      return withHistory(undone(state.history))
    case 'redo':
      return withHistory(redone(state.history))
    case 'saved':
      return {
        ...state,
        held: { ...state.held, geometry: action.drawing, revision: action.revision },
        base: action.drawing,
        baseRevision: action.revision,
        isFromDraft: false,
      }
    case 'keep-mine':
      return { ...state, base: state.held.geometry, baseRevision: state.held.revision }
    case 'take-theirs':
      return {
        ...state,
        base: state.held.geometry,
        baseRevision: state.held.revision,
        isFromDraft: false,
        history: changed(state.history, drawingOf(state.held), null),
      }
  }
}

function opened(held: Held, draft: Draft | null): EditorState {
  const own = { held, base: held.geometry, baseRevision: held.revision }
  if (draft === null || isSame(draft.drawing, drawingOf(held)))
    return { ...own, history: startHistory(drawingOf(held)), isFromDraft: false }
  const from = { ...own, history: startHistory(draft.drawing), isFromDraft: true }
  // The file may have changed elsewhere meanwhile: that is no conflict with this zone's drawing.
  return isSame(draft.base, held.geometry) ? from : { ...from, base: draft.base, baseRevision: draft.baseRevision }
}

function heldAnew(state: EditorState, held: Held): EditorState {
  const isUnchanged = isSame(held.geometry, state.base)
  if (isUnchanged) return { ...state, held, base: held.geometry, baseRevision: held.revision }
  if (!isDirty(state))
    return {
      ...state,
      held,
      base: held.geometry,
      baseRevision: held.revision,
      history: changed(state.history, drawingOf(held), null),
    }
  if (isSame(held.geometry, state.history.present))
    return { ...state, held, base: held.geometry, baseRevision: held.revision }
  return { ...state, held }
}
