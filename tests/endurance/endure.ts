/**
 * `npm run endure [-- DAYS] [--rate HZ] [--speed FACTOR|max] [--rests N]`: a gateway process lives through so many days (30) in
 * minutes, and what became of memory, handles, store and samples is printed. Exit code 1 when a limit is broken.
 */
import { cpus } from 'node:os'
import { parseArgs } from 'node:util'
import { invariants, measures } from './judge.ts'
import { endure, type Look } from './run.ts'

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    rate: { type: 'string', default: '4' },
    speed: { type: 'string', default: 'max' },
    rests: { type: 'string', default: '30' },
  },
})
const days = Number(positionals[0] ?? 30)
const rateHz = Number(values.rate)
const speed = values.speed === 'max' ? 'max' : Number(values.speed)
const rests = Number(values.rests)
if (!(days > 0) || !(rateHz >= 1) || !(rests >= 0))
  throw new Error('expected DAYS over 0, --rate 1 or more and --rests 0 or more')

const say = (line: string) => console.log(line)
say(
  `${days} days at ${rateHz} samples/s × 2 channels, ${speed === 'max' ? 'as fast as it goes' : `${speed} × recorded`}; ${cpus().length} cores, Node ${process.versions.node}`,
)
const endured = await endure({ days, rateHz, speed, rests, say })

const number = (value: number | null, digits = 0) => (value === null ? '–' : value.toFixed(digits)).padStart(8)
say('\nat full speed:')
say(
  ['day', 'RSS MB', 'heap MB', 'ext. MB', 'handles', 'files', 'threads', 'polling', 'samples', 'store MB']
    .map((word) => word.padStart(8))
    .join(' '),
)
for (const look of daily(endured.looks)) {
  const { day, rssMb, heapMb, externalMb, handles, fds, threads, pollingRssMb, samples, sizes } = look
  const cells = [
    number(day, 1),
    number(rssMb),
    number(heapMb),
    number(externalMb),
    number(handles),
    number(fds),
    number(threads),
    number(pollingRssMb),
  ]
  say([...cells, `${(samples / 1e6).toFixed(2)} M`.padStart(8), number(sizes.fileBytes / 1e6, 1)].join(' '))
}

say('\nat rest, fed at the rate of a line:')
say(['day', 'RSS MB', 'heap MB', 'ext. MB', 'highest', 'files'].map((word) => word.padStart(8)).join(' '))
for (const { day, rssMb, heapMb, externalMb, highestMb, files } of endured.rests)
  say(
    [
      number(day, 1),
      number(rssMb),
      number(heapMb),
      number(externalMb, 1),
      number(highestMb),
      number(files[0].length),
    ].join(' '),
  )

say('\ngaps, both channels:')
for (const { channel, fromMs, toMs, why } of endured.gaps)
  say(
    `  ${new Date(fromMs).toISOString()}  ${((toMs - fromMs) / 1000).toFixed(1).padStart(9)} s  ${channel.padEnd(13)}  ${why ?? 'UNEXPLAINED'}`,
  )

say('')
const verdicts = [...invariants(endured), ...measures(endured)]
for (const { state, text } of verdicts) say(`${state.padEnd(9)} ${text}`)
const { diskLow } = endured.lost
say(
  `\n${endured.samples} samples recorded in ${endured.seconds.toFixed(0)} s (${Math.round(endured.samples / endured.seconds)} a second, all told); ${diskLow} not kept while the disk was low; highest RSS of the polling process ${Math.max(...endured.looks.map(({ pollingRssMb }) => pollingRssMb ?? 0)).toFixed(0)} MB`,
)
process.exitCode = verdicts.some(({ state }) => state === 'broken') ? 1 : 0

/** The last look of each thirtieth of the run. */
function daily(looks: readonly Look[]): Look[] {
  const width = days / 30
  return looks.filter(
    (look, i) => Math.floor(look.day / width) !== Math.floor((looks[i + 1]?.day ?? Number.POSITIVE_INFINITY) / width),
  )
}
