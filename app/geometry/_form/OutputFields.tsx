import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import type { Side } from '../_model/edits.ts'
import type { Drawing } from '../_model/rollers.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { type Part, PartFields, without } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

type Outputs = NonNullable<Drawing['output']>
type Output = Extract<Outputs, { single: unknown }>['single']
type Kind = Output['kind']

const NONE = 'as the channel reads'
const KINDS: readonly (readonly [Kind | typeof NONE, string])[] = [
  [NONE, 'as the channel reads (its zero and gain)'],
  ['mV/V', 'bare cell, mV/V'],
  ['mV', 'bare cell under excitation, mV'],
  ['4-20mA', '4–20 mA'],
  ['0-10V', '0–10 V'],
  ['±10V', '±10 V'],
]

const outputOf = (drawing: Drawing, side: Side): Output | undefined =>
  (drawing.output as Partial<Record<Side, Output>> | undefined)?.[side]

function fresh(kind: Kind, capacityN: number): Output {
  switch (kind) {
    case 'mV/V':
      return { kind, rated_output_mv_v: 2 }
    case 'mV':
      return { kind, rated_output_mv_v: 2, excitation_v: 10 }
    default:
      return { kind, full_scale_n: capacityN }
  }
}

const withOutput = (drawing: Drawing, side: Side, output: Output): Drawing => ({
  ...drawing,
  output: (side === 'single' ? { single: output } : { ...drawing.output, [side]: output }) as Outputs,
})

/** Figures of an output; each reads and writes one key of whatever kind the side's output is. */
const part = (side: Side, key: string, label: string, unit: string, rest: Partial<Part>): Part => ({
  label,
  unit,
  of: (drawing) => (outputOf(drawing, side) as Record<string, unknown> | undefined)?.[key] as number | undefined,
  put: (drawing, value) => {
    const output = outputOf(drawing, side)
    return output === undefined ? drawing : withOutput(drawing, side, { ...output, [key]: value } as Output)
  },
  ...rest,
})

function partsOf(side: Side, kind: Kind): readonly Part[] {
  const cell = [
    part(side, 'rated_output_mv_v', 'Rated output', 'mV/V', { least: 0, isOpen: true, hint: 'by the certificate' }),
    part(side, 'zero_balance_mv_v', 'Zero balance', 'mV/V', { hint: 'unloaded cell; empty is 0' }),
  ]
  if (kind === 'mV/V') return cell
  if (kind === 'mV') return [...cell, part(side, 'excitation_v', 'Excitation', 'V', { least: 0, isOpen: true })]
  return [part(side, 'full_scale_n', 'Force of the full output', 'N', { least: 0, isOpen: true })]
}

interface OutputFieldsProps extends FormProps {
  readonly sides: readonly Side[]
  readonly capacityN: (side: Side) => number
}

/** What the meter shows: the output of cell or amplifier, side by side. */
export function OutputFields(props: OutputFieldsProps) {
  const { sides, drawing, onChange, capacityN } = props
  const first = sides[0]
  const kind = first === undefined ? undefined : outputOf(drawing, first)?.kind
  const choose = (chosen: Kind | typeof NONE) =>
    onChange((now) =>
      chosen === NONE
        ? without(now, 'output')
        : sides.reduce(
            (drawn, side) => withOutput(drawn, side, fresh(chosen, capacityN(side))),
            without(now, 'output'),
          ),
    )
  return (
    <div className={styles.group}>
      <div className={styles.fields}>
        <ChoiceField
          label="Signal to tell"
          value={kind ?? NONE}
          options={KINDS}
          onChange={choose}
          testId="output-kind"
        />
      </div>
      {sides.map((side) => {
        const output = outputOf(drawing, side)
        if (output === undefined) return null
        return (
          <fieldset key={side} className={styles.side}>
            <legend>
              <SideSwatch side={side} />
              {SIDES[side].title}
            </legend>
            <PartFields {...props} parts={partsOf(side, output.kind)} />
            {'full_scale_n' in output && (
              <ChoiceField
                label="Zero taken on"
                value={output.zeroed_on ?? 'bare roller'}
                options={[
                  ['bare roller', 'the bare roller'],
                  ['unloaded cell', 'the unloaded cell'],
                ]}
                onChange={(zeroed_on) => onChange((now) => withOutput(now, side, { ...output, zeroed_on }))}
              />
            )}
          </fieldset>
        )
      })}
    </div>
  )
}
