import { EvenpullError } from '../../../shared/errors.ts'
import type { CalibrationChange } from '../../../shared/schemas/config-write.ts'
import { fromSi } from '../../../shared/units.ts'
import type { ConfigChange } from '../config-file.ts'
import { type KeyEdit, keyEdits } from '../edit/key-edits.ts'
import { valueAt } from '../json-schema.ts'
import { indexOfId } from './find.ts'

/** Digits of a zero or a gain: far beyond what any weight tells. */
const DIGITS = 7
/** Digits of an uncertainty (JCGM 100, 7.2.6). */
const U_DIGITS = 2

/** A zero or a calibration as a change of the config, signed by who made it. */
export function calibrationChange(channel: string, change: CalibrationChange): ConfigChange {
  return {
    who: change.who,
    baseRevision: change.baseRevision,
    action: change.gainN === undefined ? 'zero' : 'calibration',
    record: change.record,
    edits: (value) => calibrationEdits(value, channel, change),
  }
}

/** Edits that give a load cell a zero, a gain or both, in the units its config is written in. */
function calibrationEdits(value: unknown, channel: string, change: CalibrationChange): KeyEdit[] {
  const path = ['channels', indexOfId(value, 'channels', channel), 'force']
  const force = valueAt(value, path)
  if (typeof force !== 'object' || force === null)
    throw new EvenpullError('EVP_REQUEST_INVALID', `channel ${channel} is no load cell: it has no force scale`)
  const written = valueAt(force, ['unit'])
  const { zero, gainN, uZeroPercent, uGainPercent } = change
  const next = {
    zero: rounded(zero, DIGITS),
    gain:
      gainN === undefined
        ? undefined
        : rounded(fromSi('force', gainN, typeof written === 'string' ? written : 'N'), DIGITS),
    u_gain_percent: gainN === undefined ? undefined : rounded(uGainPercent, U_DIGITS),
    u_zero_percent: zero === undefined ? undefined : rounded(uZeroPercent, U_DIGITS),
  }
  const given = Object.fromEntries(Object.entries(next).filter(([, number]) => number !== undefined))
  return keyEdits(force, { ...force, ...given }, path)
}

const rounded = (x: number | undefined, digits: number) => (x === undefined ? undefined : Number(x.toPrecision(digits)))
