/** How large a fault of a level is: many times what is typical, or about that. */
export type Size = 'clear' | 'ordinary'

/** What a level draws. */
export interface Level {
  readonly id: string
  readonly title: string
  readonly about: string
  readonly faults: 1 | 2
  readonly size: Size
  /** Share of its exercises in which nothing is wrong. */
  readonly nothing: number
  /** Faults come with time. */
  readonly comes: boolean
  /** Each of the two hides what the other does to the running picture. */
  readonly masked: boolean
}

const level = (id: string, title: string, about: string, rest: Partial<Level> = {}): Level => ({
  id,
  title,
  about,
  faults: 1,
  size: 'ordinary',
  nothing: 0,
  comes: false,
  masked: false,
  ...rest,
})

/** Easiest first. */
export const LEVELS: readonly Level[] = [
  level('one-clear', 'One clear fault', 'One thing is wrong, and plainly so.', { size: 'clear' }),
  level('one-ordinary', 'One ordinary fault', 'One thing is wrong, of a size that is met every day, or nothing is.', {
    nothing: 0.2,
  }),
  level(
    'one-coming',
    'A fault that comes',
    'Nothing to be seen at first; it comes suddenly or grows. Or nothing is wrong.',
    {
      size: 'clear',
      nothing: 0.2,
      comes: true,
    },
  ),
  level('two', 'Two faults', 'Two things are wrong, each for itself.', { faults: 2, size: 'clear' }),
  level(
    'two-masked',
    'Two that hide one another',
    'A figure of the running line looks right, because two wrongs cancel in it.',
    {
      faults: 2,
      masked: true,
    },
  ),
]

export function levelOf(id: string): Level | undefined {
  return LEVELS.find((one) => one.id === id)
}
