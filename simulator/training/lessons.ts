import type { FaultId } from '../../shared/faults.ts'
import type { ActiveFault } from '../faults/active.ts'
import { trainingLine } from './training-lines.ts'

/** A short exercise that teaches one thing; its fault is the same every time. */
export interface Lesson {
  readonly id: string
  readonly title: string
  /** The one thing of the trade. */
  readonly teaches: string
  readonly line: string
  /** What the trainee is told; the plant is invented. */
  readonly task: string
  /** From a nudge to the next act. */
  readonly hints: readonly string[]
  readonly fault: ActiveFault
  readonly seed: number
}

interface Written extends Omit<Lesson, 'fault'> {
  readonly cause: FaultId
  readonly side?: 'drive_side' | 'operator_side'
  readonly severity: number
}

function lesson({ cause, side, severity, ...rest }: Written): Lesson {
  const zone = trainingLine(rest.line)?.zones[0] ?? ''
  return { ...rest, fault: { fault: cause, zone, side: side ?? null, severity, onset: { kind: 'constant' } } }
}

/** The track, in its order: by hand at a standing line first, then running, then with time. */
export const LESSONS: readonly Lesson[] = [
  lesson({
    id: 'push',
    title: 'Push both ends',
    teaches: 'A push the way the web pulls must raise the side that is pushed, and that one alone.',
    line: 'install',
    task: 'A laminator was wired yesterday. One side falls when the web is pulled tight. Find out which, and whether it is the arrow or the wire.',
    hints: [
      'A hand at one end loads one cell. Which way must its signal go?',
      'Stopped and locked out, push each end the way the web pulls and watch both signals. Let go in between.',
      'If one goes down, measure its arrow: turned is fit, right is wiring. Then trace the cable.',
    ],
    cause: 'polarity-reversed',
    side: 'operator_side',
    severity: 1,
    seed: 101,
  }),
  lesson({
    id: 'arrows',
    title: 'Where the arrows stand',
    teaches: 'An arrow off the bisector reads low by the cosine, and takes a part of the roller’s weight with it.',
    line: 'install',
    task: 'The same laminator, another day: one side reads less than the other, at every tension.',
    hints: [
      'What does a cell read of a force that does not come along its arrow?',
      'The set-up card says where the arrows should stand. Measure both with the inclinometer.',
    ],
    cause: 'arrows-differ',
    side: 'drive_side',
    severity: 24,
    seed: 102,
  }),
  lesson({
    id: 'two-ropes',
    title: 'One weight, two rope directions',
    teaches: 'Two directions of a known force show where an arrow really points, without an inclinometer.',
    line: 'wide-film',
    task: 'A slitter for film reads the same wrong share on both sides. The shaft ends cannot be reached with an inclinometer today: say why by weights alone.',
    hints: [
      'A weight straight down and the same weight drawn aside pull in two directions. What should each give along the arrow?',
      'Hang the weight on a rope straight down, then over the roller from the side, and compare both sides.',
    ],
    cause: 'both-arrows-off',
    severity: 18,
    seed: 103,
  }),
  lesson({
    id: 'known-weight',
    title: 'A known weight',
    teaches:
      'A known weight along the web’s path is the only force whose size is certain: it tells a wrong span from a wrong web.',
    line: 'narrow-foil',
    task: 'A foil line shows more tension than its drives say, on both sides alike. Is it the web or the amplifier?',
    hints: [
      'The web’s tension is told by somebody. What force do you know for certain?',
      'Stopped, locked out, web off: look at the bare roller, hang the weight at mid-span, look again.',
      'Both arrows right and both sides off by one share: then read the amplifier’s settings.',
    ],
    cause: 'span-wrong',
    severity: 14,
    seed: 104,
  }),
  lesson({
    id: 'off-centre',
    title: 'A weight off centre',
    teaches: 'Two sides that are swapped look right until the load is not in the middle.',
    line: 'install',
    task: 'The web of the laminator runs towards one side, and the page says it runs towards the other. Nobody believes the page.',
    hints: [
      'With a load at mid-span both sides are alike, whoever is who.',
      'Hang the weight well towards the operator side: which signal must be the larger one?',
    ],
    cause: 'sides-swapped',
    severity: 1,
    seed: 105,
  }),
  lesson({
    id: 'centred-weight',
    title: 'Web or cells?',
    teaches: 'A side difference that vanishes with a centred weight belongs to the web, not to the cells.',
    line: 'wide-film',
    task: 'The slitter shows a large side difference since the last roll change. The shift wants new cells.',
    hints: [
      'Who makes a side difference: a cell, an arrow, a channel, or the web?',
      'Measure where the web runs, and hang a weight at mid-span.',
    ],
    cause: 'web-off-centre',
    severity: 26,
    seed: 106,
  }),
  lesson({
    id: 'zero',
    title: 'The bare roller’s zero',
    teaches: 'An offset is the same with and without load; a bare roller shows it, and which side it sits on.',
    line: 'narrow-foil',
    task: 'The foil tore last night under a jerk. Since then one side reads otherwise, by the same newtons at every tension.',
    hints: [
      'Same newtons at every tension: is that a span or a zero?',
      'Take the web off and look at both sides. Then rule out knobs, arrow and moisture.',
    ],
    cause: 'overloaded-cell',
    side: 'drive_side',
    severity: 9,
    seed: 107,
  }),
  lesson({
    id: 'cross-swap',
    title: 'Swap the cells',
    teaches: 'What stays with the channel when the cells are swapped is the channel’s.',
    line: 'fast-paper',
    task: 'One side of the rewinder reads low. A spare cell lies ready, a spare card does not.',
    hints: [
      'Cell and channel are two halves of one reading. How can you exchange one half alone?',
      'Swap the two cells at the amplifier under a known weight, or put a bridge simulator in the cell’s place.',
    ],
    cause: 'channel-fault',
    side: 'drive_side',
    severity: -18,
    seed: 108,
  }),
  lesson({
    id: 'insulation',
    title: 'After wash-down',
    teaches: 'A zero that wanders slowly after wash-down is a leak: megohms tell, and the connector shows it.',
    line: 'wide-film',
    task: 'After the weekly wash-down one side of the slitter wanders, slowly and for no reason of the web’s.',
    hints: [
      'What does water do between a bridge and its body?',
      'At the cabinet, stopped: measure the insulation of both cells. Ten megohms are not enough.',
    ],
    cause: 'moisture',
    side: 'operator_side',
    severity: 5,
    seed: 109,
  }),
  lesson({
    id: 'two-speeds',
    title: 'Two speeds',
    teaches: 'Unbalance grows with the square of the speed, runout does not.',
    line: 'fast-paper',
    task: 'The rewinder hums with the turn of the measuring roller. Balance it or grind it?',
    hints: [
      'Which of the two would be as strong at half the speed?',
      'Run the same tension slow and fast and compare the line of the roller’s turn. Then take the dial to it.',
    ],
    cause: 'roller-unbalance',
    severity: 18,
    seed: 110,
  }),
  lesson({
    id: 'spectrum',
    title: 'Spectrum stopped and running',
    teaches: 'A line that stays when the machine stands has nothing to do with rollers.',
    line: 'narrow-foil',
    task: 'Both sides of the foil line tremble. Maintenance suspects a bearing.',
    hints: [
      'What makes a line while nothing turns?',
      'Compare the spectrum running with the one stopped under tension, with the drives enabled.',
    ],
    cause: 'mains-hum',
    severity: 2,
    seed: 111,
  }),
  lesson({
    id: 'drives',
    title: 'Noise of the drives',
    teaches: 'What comes with the drives and without a web is picked up by cables.',
    line: 'install',
    task: 'The laminator is quiet while it is locked out and noisy as soon as it is to run.',
    hints: [
      'Enabled drives do two things: they pull the web, and they radiate. Take one away.',
      'Web off, guards closed: look with the drives off, then enabled.',
    ],
    cause: 'drive-interference',
    severity: 2,
    seed: 112,
  }),
  lesson({
    id: 'tension-step',
    title: 'Filters and the tension step',
    teaches: 'A filter that is too heavy shows when the tension steps, not while it stands.',
    line: 'wide-film',
    task: 'The slitter’s tension looks very calm, and its controller hunts. What does it see too late?',
    hints: [
      'A calm signal may be a slow one. When would you see that?',
      'Step the set tension and watch how long both sides take. Then read the filter settings.',
    ],
    cause: 'filter-too-heavy',
    severity: 15,
    seed: 113,
  }),
  lesson({
    id: 'wiggle',
    title: 'Wiggle test',
    teaches: 'A cable that breaks for moments breaks more often when it is moved.',
    line: 'fast-paper',
    task: 'Now and then one side of the rewinder jumps to the end of its range and is back at once.',
    hints: [
      'Short spikes to the rail: what opens and closes again?',
      'Stopped and locked out, move each cable from cell to cabinet and watch its side.',
    ],
    cause: 'intermittent-cable',
    side: 'operator_side',
    severity: 6,
    seed: 114,
  }),
  lesson({
    id: 'up-and-down',
    title: 'Weights up and down',
    teaches: 'What reads otherwise coming down than going up rubs somewhere: look for free play.',
    line: 'narrow-foil',
    task: 'One side of the foil line does not come back to zero, and misses it by another amount each time.',
    hints: [
      'Hysteresis is friction, in the rope or at the cell. On one side alone it is the cell’s.',
      'Hang one weight, two weights, one again, none. Then feel for free play.',
    ],
    cause: 'binding',
    side: 'drive_side',
    severity: 7,
    seed: 115,
  }),
  lesson({
    id: 'path',
    title: 'The path against the drawing',
    teaches: 'Another wrap is another force factor: look before you measure.',
    line: 'fast-paper',
    task: 'After threading up, both sides of the rewinder read far off, by one share. Nobody touched a cell.',
    hints: [
      'What has changed with the threading?',
      'Look at the web’s path from outside the guards, against the drawing.',
    ],
    cause: 'other-path',
    severity: 1,
    seed: 116,
  }),
  lesson({
    id: 'warm-up',
    title: 'Warm-up',
    teaches: 'What follows temperature shows only to who waits: the same zero, cold and warm.',
    line: 'install',
    task: 'Every morning one side of the laminator reads right, and by noon it does not.',
    hints: [
      'What is different at noon? Do not trust one reading.',
      'Bare roller: look at both zeros, wait two hours while the hall warms, look again.',
    ],
    cause: 'thermal-zero-drift',
    side: 'operator_side',
    severity: 0.6,
    seed: 117,
  }),
]

export function lessonOf(id: string): Lesson | undefined {
  return LESSONS.find((lesson) => lesson.id === id)
}
