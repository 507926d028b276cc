import type { Side } from '../../shared/sample.ts'
import type { SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'

/** The trade's words, the colour and the line style of a side: always all three together. */
export const SIDES = {
  drive_side: { name: 'drive side', title: 'Drive side', color: 'var(--drive)', wash: 'var(--drive-wash)', dash: null },
  operator_side: {
    name: 'operator side',
    title: 'Operator side',
    color: 'var(--operator)',
    wash: 'var(--operator-wash)',
    dash: '9 5',
  },
  single: {
    name: 'measuring cell',
    title: 'Measuring cell',
    color: 'var(--single)',
    wash: 'var(--single-wash)',
    dash: null,
  },
} as const satisfies Record<Side, { name: string; title: string; color: string; wash: string; dash: string | null }>

/** ", drive side": after what is told of a side; nothing where there is only one. */
export const ofSide = (side: Side | null): string => (side === null || side === 'single' ? '' : `, ${SIDES[side].name}`)

export function sidesOf(zone: ZoneInfo): readonly Side[] {
  return zone.columns.filter((column): column is Side => column in SIDES)
}

export function sideNow(now: ZoneNow | null, side: Side): SideNow | null {
  if (now === null) return null
  return (now.sides as Partial<Record<Side, SideNow>>)[side] ?? null
}
