import type { Side } from '../../../shared/sample.ts'
import type { TestValues } from '../../../shared/schemas/verification.ts'
import { arrowFromWords, arrowWords } from '../../geometry/arrow-words.ts'
import { degrees, radians, signedAngle } from '../../geometry/vector.ts'
import { expectedOrNull, type VerificationContext } from '../context.ts'
import { choiceField, chosen, numberField, perSide, typed } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of an inclinometer laid on the cell, ° (common practice, no source). */
const U_INCLINOMETER = 0.2
const SOURCE = 'read off an inclinometer; its standard uncertainty is assumed where none is typed (common practice)'

/** Both arrows, as found and as left, against target and against each other. */
export const fitArrowAngle: VerificationTest = {
  id: 'fit.arrow-angle',
  stage: 'fit',
  title: 'Angle of both load arrows',
  proves: 'Both arrows stand along the resultant of the web, and alike.',
  effect: 'An arrow that stands off reads too little by the cosine; half a turn off it falls when the web pulls.',
  caution: null,
  steps: [
    'Lay the inclinometer along the load arrow of each cell.',
    'Say the degrees from vertical, whether the arrow points up or down, and whether it leans upstream or downstream: the words read the same from both ends.',
  ],
  asFoundAsLeft: true,
  plan(context) {
    const target = expectedOrNull(context)?.target.words
    const fields = perSide(context.sides, (suffix, where, side) => [
      numberField(`deg.${suffix}`, `From vertical${where}`, '°', { side, hint: 'from 0 to 90' }),
      choiceField(`pointing.${suffix}`, `Arrow points${where}`, [UP, DOWN, LEVEL], {
        side,
        ...preset(target?.pointing),
      }),
      choiceField(`leaning.${suffix}`, `Arrow leans${where}`, [UPSTREAM, DOWNSTREAM, NEITHER], {
        side,
        ...preset(target?.leaning),
      }),
    ])
    const { arrow_deg, arrow_difference_deg } = context.limits
    return {
      fields: [
        ...fields,
        numberField('u', 'Standard uncertainty of the inclinometer', '°', {
          required: false,
          hint: `${U_INCLINOMETER}° where nothing is typed`,
        }),
      ],
      captures: [],
      limits: [
        listed('Each arrow off its target', within(arrow_deg, '°')),
        ...(context.sides.length === 2 ? [listed('Both against each other', within(arrow_difference_deg, '°'))] : []),
      ],
      notFor: null,
    }
  },
  judge(context, { values }) {
    const found = context.sides.map((side) => [side, angleOf(values, side)] as const)
    const without = found.filter(([, angle]) => angle === undefined)
    if (without.length === found.length) return notDone('no angle is typed, or its words contradict one another')
    const u = typed(values, 'u') ?? U_INCLINOMETER
    const target = expectedOrNull(context)?.target.angle
    const figures = found.map(([side, angle]) => {
      const name = { id: 'arrow-error', title: 'Arrow off its target', side }
      const limit = within(context.limits.arrow_deg, '°')
      if (angle === undefined) return untold(name, '°', 'no angle is typed for this side', limit)
      if (target === undefined) return untold(name, '°', `nothing tells the target: ${context.expected}`, limit)
      return measured({
        ...name,
        value: degrees(offTowardsDownstream(angle, target)),
        unit: '°',
        parts: [{ name: 'inclinometer', contribution: u }],
        limit,
        formula: 'angle read − target; positive when the tip stands too far downstream',
        source: SOURCE,
        inputs: [input('arrow', degrees(angle), '°', u), input('target', degrees(target), '°')],
      })
    })
    return resultOf([...figures, ...difference(context, found, u)], hints(found, target))
  },
}

const UP = { value: 'up', label: 'up' }
const DOWN = { value: 'down', label: 'down' }
const LEVEL = { value: 'level', label: 'level' }
const UPSTREAM = { value: 'upstream', label: 'upstream' }
const DOWNSTREAM = { value: 'downstream', label: 'downstream' }
const NEITHER = { value: 'neither', label: 'neither' }
const preset = (value: string | undefined) => (value === undefined ? {} : { preset: value })

/** rad counter-clockwise from downstream; undefined when it was not typed, or the words are no direction. */
function angleOf(values: TestValues, side: Side): number | undefined {
  const deg = typed(values, `deg.${side}`)
  const pointing = chosen(values, `pointing.${side}`)
  const leaning = chosen(values, `leaning.${side}`)
  if (deg === undefined || deg < 0 || deg > 90 || pointing === undefined || leaning === undefined) return undefined
  const words = { fromVertical: radians(deg), pointing, leaning } as Parameters<typeof arrowFromWords>[0]
  const angle = arrowFromWords(words)
  return Number.isFinite(angle) ? angle : undefined
}

/** Off the target, rad; positive when the tip stands too far downstream (of a level target: too far down). */
export function offTowardsDownstream(angle: number, target: number): number {
  const off = signedAngle(angle - target)
  // A turn counter-clockwise moves the tip by (−sin, cos).
  const downstream = -Math.sin(target)
  return Math.abs(downstream) > 1e-6 ? off * Math.sign(downstream) : off * -Math.sign(Math.cos(target))
}

function difference(
  { sides, limits }: VerificationContext,
  found: readonly (readonly [Side, number | undefined])[],
  u: number,
) {
  if (sides.length < 2) return []
  const [drive, operator] = found.map(([, angle]) => angle)
  const name = { id: 'arrow-difference', title: 'Operator side against drive side' }
  const limit = within(limits.arrow_difference_deg, '°')
  if (drive === undefined || operator === undefined) return [untold(name, '°', 'only one side was read', limit)]
  return [
    measured({
      ...name,
      value: degrees(signedAngle(operator - drive)),
      unit: '°',
      parts: [{ name: 'inclinometer, both sides', contribution: u * Math.SQRT2 }],
      limit,
      formula: 'angle of the operator side − angle of the drive side',
      source: SOURCE,
    }),
  ]
}

function hints(found: readonly (readonly [Side, number | undefined])[], target: number | undefined): string[] {
  if (target === undefined) return []
  const turned = found.some(([, angle]) => angle !== undefined && Math.abs(signedAngle(angle - target)) > Math.PI / 2)
  return [
    `Turn the cell to: ${arrowWords(target).sentence}.`,
    ...(turned ? ['An arrow points the other way: that side falls when the web pulls.'] : []),
  ]
}
