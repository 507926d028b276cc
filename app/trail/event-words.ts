import type { EventKind } from '../../shared/schemas/events.ts'

/** What a kind of event is about, as a heading and in the filter. */
export const KIND_WORDS: Record<EventKind, string> = {
  gateway: 'Gateway',
  recording: 'Recording',
  'clock-step': 'Clock set',
  config: 'Config',
  device: 'Device',
  alarm: 'Alarm',
  note: 'Note',
  baseline: 'Baseline',
  access: 'Log-in and users',
  export: 'Data taken away',
  forward: 'Sending on',
  verification: 'Verification',
}

/** Details of an event, a line each: nested ones as JSON, what is not there as a dash. */
export function detailsOf(data: Readonly<Record<string, unknown>>): { readonly key: string; readonly value: string }[] {
  return Object.entries(data).map(([key, value]) => ({ key, value: inWords(value) }))
}

function inWords(value: unknown): string {
  if (value === null || value === undefined || value === '') return '–'
  return typeof value === 'object' ? JSON.stringify(value) : String(value)
}
