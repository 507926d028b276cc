import { useCallback, useEffect, useState } from 'react'
import { z } from 'zod'
import { type ExportFormat, type ExportProgress, exportProgress } from '../../../shared/schemas/export.ts'
import { askGateway, type Failure } from '../../_ui/ask.ts'
import { newKey } from '../../_ui/new-key.ts'

export interface ExportRange {
  readonly zoneId: string
  readonly fromMs: number
  readonly toMs: number
}

export type ExportState =
  | { readonly kind: 'none' }
  | { readonly kind: 'asked'; readonly url: string; readonly job: string; readonly misses: number }
  | { readonly kind: 'known'; readonly job: string; readonly progress: ExportProgress }
  | { readonly kind: 'refused'; readonly failure: Failure }

const LOOK_EVERY_MS = 500
/** The browser asks for the file first: until the gateway knows the export, it may be on its way, or was refused. */
const MISSES_TO_ASK_WHY = 6

function exportUrl({ zoneId, fromMs, toMs }: ExportRange, format: ExportFormat, job?: string): string {
  const query = new URLSearchParams({ from: String(Math.floor(fromMs)), to: String(Math.ceil(toMs)), format })
  if (job !== undefined) query.set('job', job)
  return `/api/zones/${encodeURIComponent(zoneId)}/export?${query}`
}

/** One export at a time: the browser saves the file, this watches it and can end it. */
export function useExport(range: ExportRange) {
  const [state, setState] = useState<ExportState>({ kind: 'none' })

  const begin = useCallback(
    (format: ExportFormat) => {
      const job = newKey()
      const url = exportUrl(range, format, job)
      const link = document.createElement('a')
      link.href = url
      link.download = ''
      link.click()
      setState({ kind: 'asked', url, job, misses: 0 })
    },
    [range],
  )

  const cancel = useCallback(async () => {
    const job = state.kind === 'known' || state.kind === 'asked' ? state.job : null
    if (job !== null) await askGateway(`/api/exports/${job}/cancel`, exportProgress, { method: 'POST' })
  }, [state])

  useEffect(() => {
    if (state.kind !== 'asked' && !(state.kind === 'known' && state.progress.state === 'running')) return
    const control = new AbortController()
    const timer = setTimeout(() => void look(state, control.signal).then(setState, () => {}), LOOK_EVERY_MS)
    return () => {
      clearTimeout(timer)
      control.abort()
    }
  }, [state])

  return { state, begin, cancel }
}

type Watched = Extract<ExportState, { kind: 'asked' | 'known' }>

/** How it stands now. Rejects only when aborted. */
async function look(state: Watched, signal: AbortSignal): Promise<ExportState> {
  const answer = await askGateway(`/api/exports/${state.job}`, exportProgress, { signal })
  if (answer.ok) return { kind: 'known', job: state.job, progress: answer.value }
  if (answer.failure.code !== 'EVP_NOT_FOUND') return { kind: 'refused', failure: answer.failure }
  if (state.kind === 'known') return { kind: 'refused', failure: answer.failure }
  if (state.misses < MISSES_TO_ASK_WHY) return { ...state, misses: state.misses + 1 }
  const why = await askGateway(state.url, z.never(), { signal })
  return { kind: 'refused', failure: why.ok ? answer.failure : why.failure }
}
