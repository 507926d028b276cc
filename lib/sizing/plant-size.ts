import { PICTURES_A_SECOND, SIZING } from './constants.ts'

/** A plant on paper: lines that are alike, each with a gateway. */
export interface PlantPlan {
  /** Gateways. */
  readonly lines: number
  readonly zonesALine: number
  readonly devicesALine: number
  /** Cells, and what else is read. */
  readonly channelsALine: number
  /** Samples a second of each channel. */
  readonly rateHz: number
  /** Period of what is sent on, s. */
  readonly everySeconds: number
  /** Days that single samples and roll-ups are kept. */
  readonly days: number
  /** Pages open at one gateway at once. */
  readonly pagesALine: number
}

/** One gateway. Bytes, seconds, days. */
interface GatewaySize {
  readonly samplesPerSecond: number
  readonly sampleBytesPerDay: number
  /** Roll-ups and minutes. */
  readonly figureBytesPerDay: number
  /** Both, over the days that are kept. */
  readonly storeBytes: number
  readonly messagesPerSecond: number
  readonly sentBytesPerSecond: number
  /** What waits on the disk for each day that the broker is away. */
  readonly waitingBytesPerDay: number
  readonly pageBytesPerSecond: number
}

/** All of them, at one broker and one history. */
export interface PlantSize {
  readonly gateway: GatewaySize
  readonly samplesPerSecond: number
  readonly brokerConnections: number
  readonly messagesPerSecond: number
  readonly brokerBytesPerSecond: number
  /** Messages kept as they came, without those that only tell what is. */
  readonly historyJsonBytesPerYear: number
  /** The figures in them alone. */
  readonly historyFigureBytesPerYear: number
}

const DAY_S = 86_400
const YEAR_DAYS = 365
/** Of `status` and `alarms/now`. */
const STATES = 2

/**
 * What a plan comes to. Every number is a product of the plan and of SIZING; nothing is added for what happens rarely
 * (events, catching up after an outage). Throws RangeError for a plan with a number that is negative or not finite, or a
 * period of zero.
 */
export function sizeOf(plan: PlantPlan): PlantSize {
  for (const [name, value] of Object.entries(plan))
    if (!Number.isFinite(value) || value < 0) throw new RangeError(`${name} is ${value}, expected zero or more`)
  if (plan.everySeconds === 0) throw new RangeError('everySeconds is 0, expected more')
  const { lines } = plan
  const gateway = gatewaySize(plan)
  return {
    gateway,
    samplesPerSecond: lines * gateway.samplesPerSecond,
    brokerConnections: lines,
    messagesPerSecond: lines * gateway.messagesPerSecond,
    brokerBytesPerSecond: lines * gateway.sentBytesPerSecond,
    historyJsonBytesPerYear: lines * YEAR_DAYS * gateway.waitingBytesPerDay,
    historyFigureBytesPerYear:
      ((lines * plan.zonesALine * SIZING.storedFigures.value * SIZING.storedFigureBytes.value) / plan.everySeconds) *
      DAY_S *
      YEAR_DAYS,
  }
}

function gatewaySize(plan: PlantPlan): GatewaySize {
  const { zonesALine, devicesALine, channelsALine, rateHz, everySeconds, days, pagesALine } = plan
  const samplesPerSecond = channelsALine * rateHz
  const sampleBytesPerDay = samplesPerSecond * DAY_S * SIZING.sampleBytes.value
  const rollUps = (channelsALine * SIZING.rollUpBytes.value * DAY_S) / 10
  const minutes = (zonesALine * SIZING.minuteBytes.value * DAY_S) / 60
  const figureBytesPerDay = rollUps + minutes
  const values = zonesALine * SIZING.zoneMessageBytes.value + devicesALine * SIZING.deviceMessageBytes.value
  // Each value goes out twice: as a line of the past, and as the state of the moment.
  const messages = 2 * (zonesALine + devicesALine) + STATES
  const sent = 2 * values + STATES * SIZING.stateMessageBytes.value + messages * SIZING.packetBytes.value
  return {
    samplesPerSecond,
    sampleBytesPerDay,
    figureBytesPerDay,
    storeBytes: days * (sampleBytesPerDay + figureBytesPerDay),
    messagesPerSecond: messages / everySeconds,
    sentBytesPerSecond: sent / everySeconds,
    waitingBytesPerDay: (values / everySeconds) * DAY_S,
    pageBytesPerSecond:
      pagesALine * (zonesALine * SIZING.pictureBytes.value * PICTURES_A_SECOND + SIZING.restOfPageBytes.value),
  }
}
