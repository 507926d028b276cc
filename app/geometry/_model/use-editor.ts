import { useCallback, useEffect, useReducer, useRef } from 'react'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import { useHealth } from '../../_stream/store.ts'
import type { Failure } from '../../_ui/ask.ts'
import { type Held, loadGeometry, saveGeometry } from './api.ts'
import { dropDraft, keepDraft, readDraft } from './draft-store.ts'
import { type EditorState, editorReducer, isDirty } from './editor-state.ts'
import type { Drawing } from './rollers.ts'

export interface Editor {
  /** What the gateway holds; null before the first answer. */
  readonly state: EditorState | null
  readonly facts: ZoneFacts | null
  /** Why nothing could be loaded, or the last save was refused. */
  readonly failures: readonly Failure[]
  readonly isSaving: boolean
  readonly isKept: boolean
  /** Gesture: changes of the same name make one step of undo until `settle`. */
  change(next: (drawing: Drawing) => Drawing, gesture?: string): void
  settle(): void
  undo(): void
  redo(): void
  save(who: string): void
  keepMine(): void
  takeTheirs(): void
  reload(): void
}

interface Outer {
  readonly editor: EditorState | null
  readonly failures: readonly Failure[]
  readonly isSaving: boolean
}

type Action =
  | { readonly type: 'loaded'; readonly held: Held; readonly zone: string; readonly owner: string }
  | { readonly type: 'failed'; readonly failures: readonly Failure[] }
  | { readonly type: 'saving' }
  | { readonly type: 'saved'; readonly drawing: Drawing; readonly revision: string }
  | { readonly type: 'edit'; readonly edit: Parameters<typeof editorReducer>[1] }

function reduce(outer: Outer, action: Action): Outer {
  switch (action.type) {
    case 'loaded': {
      const draft = outer.editor === null ? readDraft(action.zone, action.owner) : null
      return { ...outer, editor: editorReducer(outer.editor, { type: 'held', held: action.held, draft }) }
    }
    case 'failed':
      return { ...outer, failures: action.failures, isSaving: false }
    case 'saving':
      return { ...outer, failures: [], isSaving: true }
    case 'saved':
      return {
        failures: [],
        isSaving: false,
        editor: editorReducer(outer.editor, { type: 'saved', drawing: action.drawing, revision: action.revision }),
      }
    case 'edit':
      return { ...outer, editor: editorReducer(outer.editor, action.edit) }
  }
}

/** A zone's geometry: loaded, edited with undo, kept as a draft in this browser, saved as a revision of the config. */
export function useEditor(zone: string, owner: string): Editor {
  const [outer, dispatch] = useReducer(reduce, { editor: null, failures: [], isSaving: false })
  const revision = useHealth()?.config.revision ?? null
  const { editor } = outer
  const loading = useRef<AbortController | null>(null)
  const isKept = useRef(true)

  const reload = useCallback(async () => {
    loading.current?.abort()
    const control = new AbortController()
    loading.current = control
    const answer = await loadGeometry(zone, control.signal).catch(() => null)
    if (answer === null || control.signal.aborted) return
    if (answer.ok) dispatch({ type: 'loaded', held: answer.value, zone, owner })
    else dispatch({ type: 'failed', failures: answer.failures })
  }, [zone, owner])

  // The gateway tells a new revision whoever wrote it: look at what it did to this zone.
  // biome-ignore lint/correctness/useExhaustiveDependencies: `revision` is what is followed
  useEffect(() => {
    void reload()
    return () => loading.current?.abort()
  }, [reload, revision])

  useEffect(() => {
    if (editor === null) return
    if (isDirty(editor)) {
      const { history, base, baseRevision } = editor
      const draft = { drawing: history.present, base, baseRevision, owner, changedMs: Date.now() }
      isKept.current = keepDraft(zone, draft)
    } else dropDraft(zone)
  }, [editor, zone, owner])

  const save = async (who: string) => {
    if (editor === null || outer.isSaving) return
    dispatch({ type: 'saving' })
    const drawing = editor.history.present
    const answer = await saveGeometry(zone, { geometry: drawing, who, baseRevision: editor.baseRevision })
    if (answer.ok) dispatch({ type: 'saved', drawing, revision: answer.value })
    else {
      dispatch({ type: 'failed', failures: answer.failures })
      if (answer.failures.some(({ code }) => code === 'EVP_CONFIG_CHANGED')) await reload()
    }
  }
  const edit = (of: Parameters<typeof editorReducer>[1]) => dispatch({ type: 'edit', edit: of })
  return {
    state: editor,
    facts: editor?.held.zone ?? null,
    failures: outer.failures,
    isSaving: outer.isSaving,
    isKept: isKept.current,
    change: (next, gesture) => edit({ type: 'change', next, gesture: gesture ?? null }),
    settle: () => edit({ type: 'settle' }),
    undo: () => edit({ type: 'undo' }),
    redo: () => edit({ type: 'redo' }),
    save: (who) => void save(who),
    keepMine: () => edit({ type: 'keep-mine' }),
    takeTheirs: () => edit({ type: 'take-theirs' }),
    reload: () => void reload(),
  }
}
