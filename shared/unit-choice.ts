/** The units a reader may choose; everything stored, streamed, signed and computed stays SI. */
export interface UnitChoice {
  readonly force: 'N' | 'lbf' | 'kgf'
  readonly speed: 'm/min' | 'ft/min' | 'm/s'
  readonly temperature: '°C' | '°F'
  readonly length: 'mm' | 'in'
}

export const SI_CHOICE: UnitChoice = { force: 'N', speed: 'm/min', temperature: '°C', length: 'mm' }

/** Whether all that is chosen is as things are kept; what is not chosen is. */
export const isSi = (choice: Partial<UnitChoice>): boolean =>
  Object.entries(SI_CHOICE).every(([kind, unit]) => [unit, undefined].includes(choice[kind as keyof UnitChoice]))

export const UNIT_OPTIONS = {
  force: ['N', 'lbf', 'kgf'],
  speed: ['m/min', 'ft/min', 'm/s'],
  temperature: ['°C', '°F'],
  length: ['mm', 'in'],
} as const satisfies { [K in keyof UnitChoice]: readonly UnitChoice[K][] }

/** Force by width goes with the unit of force. */
export const WIDTH_UNIT = { N: 'N/m', lbf: 'lbf/in', kgf: 'kgf/cm' } as const satisfies Record<
  UnitChoice['force'],
  string
>

/** All four at once, by one word. */
const SYSTEMS: Readonly<Record<string, UnitChoice>> = {
  si: SI_CHOICE,
  us: { force: 'lbf', speed: 'ft/min', temperature: '°F', length: 'in' },
}

const KINDS = Object.keys(UNIT_OPTIONS) as readonly (keyof UnitChoice)[]
/** No keyboard has a degree sign for certain: C and F do without. */
const named = (unit: string): string => unit.replace('°', '')

/** What may be asked for, for people: `si, us, or of N, lbf, kgf; …`. */
export const UNITS_HELP = `si, us, or one of each, with commas: ${KINDS.map((kind) => UNIT_OPTIONS[kind].map(named).join('|')).join(', ')}`

/**
 * Units as an address or a command line names them: `us`, `si`, or one of a kind with commas between, `lbf,ft/min,F,in`;
 * a kind that is not named stays SI. null for an unknown unit, and for two of one kind.
 */
export function namedUnits(text: string): UnitChoice | null {
  const system = Object.hasOwn(SYSTEMS, text) ? SYSTEMS[text] : undefined
  if (system !== undefined) return system
  const choice: Partial<Record<keyof UnitChoice, string>> = {}
  for (const name of text.split(',').map((part) => part.trim())) {
    const kind = KINDS.find((one) => UNIT_OPTIONS[one].some((unit) => [unit, named(unit)].includes(name)))
    const unit = kind === undefined ? undefined : UNIT_OPTIONS[kind].find((one) => [one, named(one)].includes(name))
    if (kind === undefined || unit === undefined || choice[kind] !== undefined) return null
    choice[kind] = unit
  }
  return { ...SI_CHOICE, ...choice } as UnitChoice
}

/** The choice as `namedUnits` reads it. */
export const namesOfUnits = (choice: UnitChoice): string => KINDS.map((kind) => named(choice[kind])).join(',')
