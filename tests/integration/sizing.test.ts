import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import WebSocket from 'ws'
import { bodyText, deviceBody, payloadOf, zoneBody } from '../../gateway/forward/message.ts'
import { PICTURES_A_SECOND, SIZING } from '../../lib/sizing/constants.ts'
import { SUBPROTOCOL } from '../../shared/protocol/version.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { COATER_DRAWING, demoConfig } from './support/demo-line.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from './support/simulator.ts'

const ZONES = ['coater-outfeed', 'edge-strip']
const PLACE = { plant: 'Example mill', line: 'Line 1' }
const HEAD = { queue: '0b6cbb0e-1f5d-4c57-9a0e-3d1c2b4a5f60', seq: 81_234, validUntilMs: 1_760_000_000_000 }

let simulator: SimulatorProcess
let gateway: GatewayProcess
const nows: ZoneNow[] = []
beforeAll(async () => {
  simulator = await startSimulatorProcess('demo')
  gateway = await startGatewayProcess(demoConfig(simulator, COATER_DRAWING))
  for (const zone of ZONES)
    nows.push(
      await untilAnswer(
        () => gateway.now(zone),
        ({ total, driftOfSideDifference }) => total.value !== null && driftOfSideDifference?.value != null,
        60_000,
      ),
    )
}, 120_000)
afterAll(async () => {
  await gateway?.stop()
  await simulator?.stop()
})

/** Within this share: a sizing on paper is worth no more, and a message grows by a few words now and then. */
const NEAR = 0.3
const near = (measured: number, { value }: { readonly value: number }) =>
  expect(Math.abs(measured / value - 1), `${Math.round(measured)} against ${value}`).toBeLessThan(NEAR)

describe('what the sizing of a plant takes as measured, measured at the demo line', () => {
  it('the message of a zone with everything in it', () => {
    const bytes = nows.map((now) =>
      Buffer.byteLength(payloadOf(bodyText(zoneBody(now, 'Coater outfeed', 'abcdef0123', PLACE)), HEAD)),
    )
    // The zone with geometry on both sides: the larger of them.
    near(Math.max(...bytes), SIZING.zoneMessageBytes)
  })

  it('the message of a device', async () => {
    for (const device of (await gateway.health()).devices)
      near(Buffer.byteLength(payloadOf(bodyText(deviceBody(device, 5, PLACE)), HEAD)), SIZING.deviceMessageBytes)
  })

  it('what an open page gets: pictures of every zone, and the rest beside them', async () => {
    const { pictures, pictureBytes, restBytes } = await heard(5 * PICTURES_A_SECOND)
    near(pictureBytes / pictures / ZONES.length, SIZING.pictureBytes)
    // Counted against the pictures, not against a clock: both come from one timer of the gateway.
    const rest = (restBytes / pictures) * PICTURES_A_SECOND
    expect(rest / SIZING.restOfPageBytes.value).toBeGreaterThan(0.5)
    expect(rest / SIZING.restOfPageBytes.value).toBeLessThan(2)
  })
})

/** Bytes to a page that shows both zones, over so many pictures, once it has caught up with the backlog. */
function heard(most: number): Promise<{ pictures: number; pictureBytes: number; restBytes: number }> {
  const socket = new WebSocket(`${gateway.address.replace('http', 'ws')}/stream`, SUBPROTOCOL)
  const told = { pictures: 0, pictureBytes: 0, restBytes: 0 }
  let caughtUp = 0
  return new Promise((resolve, reject) => {
    socket.on('error', reject)
    socket.on('message', (data: Buffer, isBinary) => {
      const type = isBinary ? 'samples' : (JSON.parse(data.toString('utf8')) as { type: string }).type
      if (type === 'hello') socket.send(JSON.stringify({ type: 'subscribe', zones: ZONES.map((zone) => ({ zone })) }))
      if (type === 'caught-up') caughtUp += 1
      if (caughtUp < ZONES.length || type === 'hello') return
      if (type === 'now') {
        told.pictures += 1
        told.pictureBytes += data.length
      } else told.restBytes += data.length
      if (told.pictures < most) return
      socket.close()
      resolve(told)
    })
  })
}
