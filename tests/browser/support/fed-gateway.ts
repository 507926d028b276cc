/**
 * Test support, not the product: the real stream and HTTP server, fed with made samples, for
 * developing and testing pages without devices.
 *
 *   node --import tsx tests/browser/support/fed-gateway.ts [--port 8420] [--static out] [--gaps]
 *        [--backlog SECONDS] [--dev-origin http://localhost:3000]
 *
 * --backlog fills the ring with that much made past at the start. --dev-origin lets a page of a
 * development server on another port open the stream.
 */
import { randomUUID } from 'node:crypto'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { parseArgs } from 'node:util'
import { systemClock } from '../../../gateway/clock.ts'
import { exampleAlarms } from '../../../gateway/http/alarm-examples.ts'
import { hostPolicy } from '../../../gateway/http/host-policy.ts'
import { createGatewayServer } from '../../../gateway/http/server.ts'
import { StreamHub } from '../../../gateway/stream/hub.ts'
import { monotonicMs } from '../../../shared/brand.ts'
import { EvenpullError } from '../../../shared/errors.ts'
import { openAccess } from '../../http/support/served.ts'
import { MADE_RATE_HZ, madeFrame, madeHealth, madeNow, madeZones, seededRandom } from './made-line.ts'
import { madeSpectrum } from './made-spectrum.ts'

export interface FedGatewayOptions {
  readonly port: number
  readonly staticRoot: string
  readonly gaps: boolean
  readonly backlogSeconds: number
  readonly devOrigin?: string
}

export interface FedGateway {
  readonly url: string
  readonly hub: StreamHub
  /** Stops and starts the made samples, so that a page shows how old its picture is. */
  feed(on: boolean): void
  close(): Promise<void>
}

const HOST = '127.0.0.1'
const STEP_MS = 1000 / MADE_RATE_HZ

export async function startFedGateway(options: FedGatewayOptions): Promise<FedGateway> {
  const clock = systemClock()
  const startMs = clock.now()
  const policy = hostPolicy(HOST, options.devOrigin === undefined ? {} : { origins: [options.devOrigin] })
  const log = (message: string) => console.error(message)
  const hub = new StreamHub({ version: 'made', bootId: randomUUID(), clock, hostAllowed: policy.originAllowed, log })
  hub.configure(madeZones, 'aaaaaaaaaaaa')

  const random = seededRandom(1)
  let sentMs = startMs - options.backlogSeconds * 1000
  const feedUpTo = (endMs: number) => {
    for (; sentMs <= endMs; sentMs += STEP_MS)
      for (const zone of madeZones.zones)
        hub.frame(zone.id, madeFrame(zone.id, monotonicMs(sentMs), random, options.gaps))
  }
  feedUpTo(startMs)

  const now = () => madeNow(clock.toEpoch(clock.now()), clock.now() / 1000)
  const health = () => madeHealth(clock.toEpoch(clock.now()), (clock.now() - startMs) / 1000, hub.clients)
  let feeding = true
  const timers = [
    setInterval(() => {
      if (feeding) feedUpTo(clock.now())
      else sentMs = clock.now()
    }, STEP_MS),
    setInterval(() => feeding && hub.now(now()), 250),
    setInterval(() => hub.health(health()), 1000),
  ]
  const noConfig = async () => {
    throw new EvenpullError('EVP_CONFIG_WRITE', 'the made line has no config file')
  }
  const noAlarm = async (id: string) => {
    throw new EvenpullError('EVP_NOT_FOUND', `no alarm ${JSON.stringify(id)}: the made line has none`)
  }
  const noStore = async (): Promise<never> => {
    throw new EvenpullError('EVP_RECORDER_OFF', 'the made line records nothing')
  }
  const noExport = (id: string): never => {
    throw new EvenpullError('EVP_NOT_FOUND', `no export ${JSON.stringify(id)}: the made line records nothing`)
  }
  const server = createGatewayServer({
    staticRoot: resolve(options.staticRoot),
    hub,
    log,
    version: 'made',
    nowMs: clock.now,
    policy,
    sources: {
      health,
      training: {
        ask: async () => {
          throw new EvenpullError('EVP_TRAINING_OFF', 'the made line is no training machine')
        },
      },
      zones: () => madeZones,
      zoneNow: (id) => now().find((zone) => zone.zone === id),
      spectrum: (id, seconds) => madeSpectrum(hub, id, seconds, () => clock.toEpoch(clock.now())),
      summary: async () => undefined,
      shift: async () => undefined,
      readRegisters: async ({ device }) => {
        throw new EvenpullError('EVP_NOT_FOUND', `no device ${JSON.stringify(device)}: the made line has none to read`)
      },
      geometry: () => undefined,
      changeGeometry: noConfig,
      calibrate: noConfig,
      revisions: () => ({ current: '000000000000', revisions: [], total: 0 }),
      alarms: () => ({ ...exampleAlarms, alarms: [], off: [] }),
      alarmDesk: { acknowledge: noAlarm, shelve: noAlarm, unshelve: noAlarm, takeOut: noAlarm, putBack: noAlarm },
      access: openAccess(),
      history: noStore,
      events: noStore,
      exports: { begin: noStore, progress: noExport, cancel: noExport },
      notes: { note: noStore, baseline: noStore },
      verifications: {
        plan: () => {
          throw new EvenpullError('EVP_NOT_FOUND', 'the made line has no plan')
        },
        list: noStore,
        begin: noStore,
        record: noStore,
        entries: noStore,
        check: noStore,
        photo: noStore,
        photos: noStore,
        preview: noStore,
        add: noStore,
      },
      diagnosis: noStore,
    },
  })
  const { host, port } = await server.listen(HOST, options.port)
  return {
    url: `http://${host}:${port}`,
    hub,
    feed(on) {
      feeding = on
    },
    async close() {
      for (const timer of timers) clearInterval(timer)
      await hub.close()
      await server.close()
    },
  }
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      port: { type: 'string', default: '8420' },
      static: { type: 'string', default: 'out' },
      gaps: { type: 'boolean', default: false },
      backlog: { type: 'string', default: '0' },
      'dev-origin': { type: 'string' },
    },
  })
  const devOrigin = values['dev-origin']
  const gateway = await startFedGateway({
    port: Number(values.port),
    staticRoot: values.static,
    gaps: values.gaps,
    backlogSeconds: Number(values.backlog),
    ...(devOrigin === undefined ? {} : { devOrigin }),
  })
  console.log(`Made samples at ${gateway.url} (test support, not the product)`)
  const stop = () => void gateway.close().then(() => process.exit(0))
  process.once('SIGINT', stop)
  process.once('SIGTERM', stop)
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await main()
