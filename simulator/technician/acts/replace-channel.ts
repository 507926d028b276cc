import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'

/** What belongs to an amplifier's channel. */
const OF_A_CHANNEL = [
  'whiteNoise',
  'flickerNoise',
  'filterHz',
  'filterDamping',
  'rangeLow',
  'rangeHigh',
  'adcStep',
  'excitation',
  'knobGain',
  'knobZero',
  'channelGain',
  'stuck',
] as const

export const replaceChannel = act({
  id: 'replace-channel',
  title: 'Exchange an amplifier’s channel',
  seconds: 1800,
  caution: 'Supply off while the card is exchanged.',
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const sound = bench.soundZone.cells[args.side]
    for (const name of OF_A_CHANNEL) Object.assign(bench.parameters.cells[args.side], { [name]: sound[name] })
    return done(`The ${SIDE_WORDS[args.side]} channel is exchanged for a sound one, set as it was on paper.`)
  },
})
