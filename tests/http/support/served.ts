import { type RequestOptions, request } from 'node:http'
import { Access } from '../../../gateway/access/access.ts'
import { systemClock } from '../../../gateway/clock.ts'
import type { ZoneExports } from '../../../gateway/export/zone-exports.ts'
import { exampleAlarm, exampleAlarms } from '../../../gateway/http/alarm-examples.ts'
import { exampleGeometryView, exampleRevisions, exampleWritten } from '../../../gateway/http/config-examples.ts'
import { exampleZoneDiagnosis } from '../../../gateway/http/diagnosis-example.ts'
import { exampleHealth, exampleRegisterView, exampleZoneNow, exampleZones } from '../../../gateway/http/examples.ts'
import { exampleEvents, exampleHistory } from '../../../gateway/http/history-examples.ts'
import { hostPolicy } from '../../../gateway/http/host-policy.ts'
import { exampleNoteEvent } from '../../../gateway/http/note-examples.ts'
import type { GatewaySources } from '../../../gateway/http/route.ts'
import { exampleSummary } from '../../../gateway/http/routes/zone-summary.ts'
import { createGatewayServer } from '../../../gateway/http/server.ts'
import { exampleShift } from '../../../gateway/http/shift-example.ts'
import { exampleSpectrum } from '../../../gateway/http/spectrum-example.ts'
import * as training from '../../../gateway/http/training-examples.ts'
import {
  exampleCheck,
  exampleEntries,
  exampleEntry,
  examplePlan,
  examplePreview,
  exampleRecord,
  exampleVerifications,
} from '../../../gateway/http/verification-examples.ts'
import { StreamHub } from '../../../gateway/stream/hub.ts'
import { accessOptions } from '../../access/support/made-access.ts'
import { madeExports, START_MS } from '../../export/support/made-range.ts'

/** Nobody has to log in. */
export const openAccess = (): Access => Access.inMemory(accessOptions())

export const exampleSources: GatewaySources = {
  access: openAccess(),
  health: () => exampleHealth,
  zones: () => exampleZones,
  zoneNow: (id) => (id === exampleZoneNow.zone ? exampleZoneNow : undefined),
  spectrum: (id) => (id === exampleSpectrum.zone ? Promise.resolve(exampleSpectrum) : undefined),
  summary: async (id) => (id === exampleShift.zone ? exampleSummary : undefined),
  shift: async (id) => (id === exampleShift.zone ? exampleShift : undefined),
  readRegisters: async () => exampleRegisterView,
  geometry: (id) => (id === exampleGeometryView.zone.id ? exampleGeometryView : undefined),
  changeGeometry: async () => exampleWritten,
  calibrate: async () => exampleWritten,
  revisions: () => exampleRevisions,
  alarms: () => exampleAlarms,
  alarmDesk: {
    acknowledge: async () => exampleAlarm,
    shelve: async () => exampleAlarm,
    unshelve: async () => exampleAlarm,
    takeOut: async () => exampleAlarm,
    putBack: async () => exampleAlarm,
  },
  notes: { note: async () => exampleNoteEvent, baseline: async () => exampleNoteEvent },
  history: async () => exampleHistory,
  events: async () => exampleEvents,
  exports: exportsOnTheWay(),
  verifications: {
    plan: () => examplePlan,
    list: async () => exampleVerifications,
    begin: async () => exampleRecord,
    record: async () => exampleRecord,
    entries: async () => exampleEntries,
    check: async () => exampleCheck,
    photo: async () => ({ bytes: Buffer.from([0xff, 0xd8, 0xff]), mediaType: 'image/jpeg' }),
    photos: async () => new Map(),
    preview: async () => examplePreview,
    add: async () => exampleEntry,
  },
  training: { ask: async ({ method, path }) => exampleTraining(`${method} ${path}`) },
  diagnosis: async () => exampleZoneDiagnosis,
}

/** What a desk would answer. */
function exampleTraining(asked: string): unknown {
  const answers: Readonly<Record<string, unknown>> = {
    'GET /api/training': training.catalogue,
    'GET /api/training/exercise': { exercise: training.exercise },
    'GET /api/training/acts': training.acts,
    'POST /api/training/exercise/acts': training.outcome,
    [`GET /api/training/debriefs/${training.exercise.id}`]: training.working,
    'GET /api/training/instructor': training.instructor,
    'POST /api/training/instructor/exercise': training.instructor,
    'POST /api/training/instructor/changes': training.instructor,
    'GET /api/training/instructor/faults': training.faults,
    'GET /api/training/instructor/results': training.results,
    'GET /api/training/progress': training.progress,
  }
  return answers[asked.split('?')[0] ?? ''] ?? training.exercise
}

/** With the export of the examples on its way. */
function exportsOnTheWay(): ZoneExports {
  const exports = madeExports()
  void exports.begin('z', { from: START_MS, to: START_MS + 1000, format: 'csv', job: 'a1b2c3d4' }, null)
  return exports
}

export interface Served {
  readonly port: number
  readonly hub: StreamHub
  readonly log: string[]
  /** Time of the rate limits; stands still until set. */
  nowMs: number
  close(): Promise<void>
}

/** The real server and stream on a free port of loopback. */
export async function serve(
  options: { sources?: Partial<GatewaySources>; staticRoot?: string; hub?: StreamHub } = {},
): Promise<Served> {
  const log: string[] = []
  const access = options.sources?.access ?? openAccess()
  const hub =
    options.hub ??
    new StreamHub({
      version: 'test',
      bootId: 'boot',
      clock: systemClock(),
      hostAllowed: hostPolicy('127.0.0.1').originAllowed,
      access,
      log: (message) => log.push(message),
    })
  const served = { nowMs: 0 }
  const server = createGatewayServer({
    staticRoot: options.staticRoot ?? '/nowhere',
    hub,
    sources: { ...exampleSources, ...options.sources, access },
    log: (message) => log.push(message),
    version: 'test',
    nowMs: () => served.nowMs,
  })
  const { port } = await server.listen('127.0.0.1', 0)
  return Object.assign(served, {
    port,
    hub,
    log,
    async close() {
      await hub.close()
      await server.close()
    },
  })
}

export interface Reply {
  readonly status: number
  readonly headers: Readonly<Record<string, string | string[] | undefined>>
  readonly text: string
}

/** Options of a request that sends this as JSON, as a page of ours does. */
export function jsonBody(value: unknown): { body: string; headers: Record<string, string> } {
  const body = JSON.stringify(value)
  return { body, headers: { 'content-type': 'application/json', 'content-length': String(Buffer.byteLength(body)) } }
}

/** One request, its path sent exactly as given (unlike fetch, which tidies it). */
export function ask(port: number, path: string, options: RequestOptions & { body?: string } = {}): Promise<Reply> {
  return new Promise((resolve, reject) => {
    const { body, ...rest } = options
    const req = request({ host: '127.0.0.1', port, path, agent: false, ...rest }, (res) => {
      let text = ''
      res.setEncoding('utf8')
      res.on('data', (chunk) => {
        text += chunk
      })
      res.on('end', () => resolve({ status: res.statusCode ?? 0, headers: res.headers, text }))
      res.on('error', reject)
    })
    req.on('error', reject)
    req.end(body)
  })
}
