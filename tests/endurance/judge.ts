import type { FilesOver } from './open-files.ts'
import { WARM_UP } from './plan.ts'
import type { Endured, Look, TimedRest } from './run.ts'
import { flat, measured, noHigher, type Verdict, verdict } from './verdicts.ts'

/** Growth a month that counts as none, and what the gateway may take at most while it is fed at the rate of a line. */
const FLAT_MB = 20
const MOST_RSS_MB = 300
/** The store against the line of its first tenth. */
const LINE_PERCENT = 10
/** Pages, indexes and what is kept beside the kinds, over what the store accounts for; and its log of writes. */
const FILE_OVER_KINDS = 1.35
const LOG_MB = 17

/** What holds without a look at a clock: true of a run of any length, on any machine. */
export function invariants(endured: Endured): Verdict[] {
  const { gaps, planned, disordered, lost, killsMs, clockSteps, messages, openFiles } = endured
  const unexplained = gaps.filter(({ why }) => why === null)
  return [
    verdict(unexplained.length === 0, `unexplained gaps: ${unexplained.length} of ${gaps.length}, limit 0`),
    verdict(disordered === 0, `samples whose time does not grow: ${disordered}, limit 0`),
    verdict(lost.otherwise === 0, `samples lost otherwise than while the disk was low: ${lost.otherwise}, limit 0`),
    verdict(
      killsMs.length > 0 && killsMs.every((ms) => ms >= 0),
      `after each of ${killsMs.length} kills all was on the disk that was read 2 s before it (limit: all)`,
    ),
    verdict(
      planned.every(({ fromMs, toMs }) => gaps.some((gap) => gap.fromMs >= fromMs && gap.toMs <= toMs)),
      `each of ${planned.length} planned interruptions shows as a gap`,
    ),
    verdict(
      clockSteps.length === 2 && clockSteps.every((ms) => Math.abs(Math.abs(ms) - 3_600_000) < 2000),
      `clock steps in the trail: ${clockSteps.map((ms) => `${ms / 1000} s`).join(', ') || 'none'}; planned +3600 s, −3600 s`,
    ),
    ...(messages === null
      ? []
      : [
          verdict(
            messages.missing === 0 && messages.dropped === 0,
            `messages missing at the broker: ${messages.missing}, dropped ${messages.dropped}, of ${messages.heard}; limit 0`,
          ),
        ]),
    filesVerdict('gateway', openFiles.gateway),
    filesVerdict('polling process', openFiles.polling),
  ]
}

function filesVerdict(whose: string, { begin, end, more }: FilesOver): Verdict {
  const named = more.length === 0 ? '' : `; more at the end: ${more.join(', ')}`
  return verdict(
    begin > 0 && end > 0 && end <= begin,
    `open files of the ${whose} at rest: ${begin} at the beginning, ${end} at the end; limit: no more${named}`,
  )
}

/** What a run has to be long for. */
export function measures(endured: Endured): Verdict[] {
  const stretch = endured.looks.filter(({ isInStretch }) => isInStretch)
  const warm = stretch.slice(Math.ceil(stretch.length * WARM_UP))
  const series = (of: (look: Look) => number | null) =>
    warm.flatMap((look) => {
      const value = of(look)
      return value === null ? [] : [{ tMs: look.timeMs, value }]
    })
  const rests = endured.rests.filter(({ isInStretch }) => isInStretch)
  const atRest = (of: (rest: TimedRest) => number | null) =>
    rests.flatMap((rest) => {
      const value = of(rest)
      return value === null ? [] : [{ tMs: rest.timeMs, value }]
    })
  return [
    flat(
      'memory of the gateway at rest',
      atRest(({ rssMb }) => rssMb),
      FLAT_MB,
    ),
    noHigher(
      'memory of the gateway at rest',
      atRest(({ rssMb }) => rssMb),
      FLAT_MB,
    ),
    flat(
      'its heap at rest',
      atRest(({ heapMb }) => heapMb),
      FLAT_MB,
    ),
    flat(
      'what it holds outside the heap at rest',
      atRest(({ externalMb }) => externalMb),
      FLAT_MB,
    ),
    flat(
      'memory of the polling process',
      series(({ pollingRssMb }) => pollingRssMb),
      FLAT_MB,
    ),
    ...highestVerdicts(endured),
    measured(
      'memory of the gateway at full speed, most of it what is under way',
      series(({ rssMb }) => rssMb),
    ),
    ...storeVerdicts(endured),
  ]
}

function highestVerdicts({ rests, looks, samples, seconds, settings }: Endured): Verdict[] {
  const highest = (values: readonly number[]) => Math.max(0, ...values)
  const normal = highest(rests.map(({ highestMb }) => highestMb))
  const watched = rests.reduce((sum, rest) => sum + rest.seconds, 0)
  const full = highest(looks.map(({ rssMb }) => rssMb))
  const times = samples / seconds / (2 * settings.rateHz)
  return [
    verdict(
      rests.length > 0 && normal <= MOST_RSS_MB,
      `highest memory of the gateway at the rate of a line: ${normal.toFixed(0)} MB in ${watched.toFixed(0)} s over the run, limit ${MOST_RSS_MB} MB`,
    ),
    {
      state: 'measured',
      text: `highest memory of the gateway at full speed: ${full.toFixed(0)} MB at ${times.toFixed(0)} times the rate of a line, for which there is no limit (that of a line: ${MOST_RSS_MB} MB)`,
    },
  ]
}

function storeVerdicts({ looks, keptMb, keptDays, ages, settings, rollUpsWhileLow }: Endured): Verdict[] {
  const bytesOf = (look: Look) => (look.sizes.kinds.samples ?? 0) / look.samples
  const tenth = looks.findLast(({ day, samples }) => day <= settings.days / 10 && samples > 0)
  // While nothing has been deleted yet.
  const whole = looks.findLast(({ sizes }) => (sizes.kinds.samples ?? 0) < keptMb * 0.95e6)
  const last = looks.at(-1)
  if (tenth === undefined || whole === undefined || last === undefined) return []
  const off = (bytesOf(whole) / bytesOf(tenth) - 1) * 100
  const samplesMb = (last.sizes.kinds.samples ?? 0) / 1e6
  const kindsMb = Object.values(last.sizes.kinds).reduce((sum, bytes) => sum + bytes, 0) / 1e6
  const mostFileMb =
    (FILE_OVER_KINDS * Math.max(...looks.map(({ sizes }) => Object.values(sizes.kinds).reduce((a, b) => a + b, 0)))) /
      1e6 +
    LOG_MB
  const slackDays = 0.1 + settings.days * 0.05
  return [
    verdict(
      Math.abs(off) <= LINE_PERCENT,
      `bytes a sample: ${bytesOf(tenth).toFixed(3)} at day ${tenth.day.toFixed(1)}, ${bytesOf(whole).toFixed(3)} at day ${whole.day.toFixed(1)} (${off.toFixed(1)} %), limit ±${LINE_PERCENT} %`,
    ),
    verdict(
      samplesMb <= keptMb * 1.1,
      `samples kept: ${samplesMb.toFixed(1)} MB, limit ${keptMb.toFixed(1)} MB + 10 %`,
    ),
    verdict(
      last.sizes.fileBytes / 1e6 <= mostFileMb,
      `file of the store: ${(last.sizes.fileBytes / 1e6).toFixed(1)} MB, limit ${mostFileMb.toFixed(1)} MB (${FILE_OVER_KINDS} × the most that was accounted for + ${LOG_MB} MB; ${kindsMb.toFixed(1)} MB are accounted for now)`,
    ),
    verdict(
      ages.rollUpDays <= keptDays.rollUps + slackDays && ages.minuteDays <= keptDays.minutes + slackDays,
      `oldest figures ${ages.rollUpDays.toFixed(1)} d, minutes ${ages.minuteDays.toFixed(1)} d; limits ${keptDays.rollUps.toFixed(1)} and ${keptDays.minutes.toFixed(1)} d + ${slackDays.toFixed(1)} d`,
    ),
    ...(rollUpsWhileLow === null
      ? []
      : [
          verdict(
            rollUpsWhileLow >= 0.8,
            `figures of 10 s while the disk was low: ${(100 * rollUpsWhileLow).toFixed(0)} % there, limit 80 %`,
          ),
        ]),
  ]
}
