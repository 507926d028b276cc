export const PAGES = [
  { path: '/', title: 'Live' },
  { path: '/geometry', title: 'Geometry' },
  { path: '/verification', title: 'Verification' },
  { path: '/shift', title: 'Shift' },
  { path: '/diagnosis', title: 'Diagnosis' },
  { path: '/set-up', title: 'Set-up' },
  { path: '/trail', title: 'Trail' },
] as const

/** Pages that show one zone at a time. */
const OF_ONE_ZONE: ReadonlySet<string> = new Set(['/', '/large', '/geometry', '/verification', '/shift', '/diagnosis'])

export const showsOneZone = (path: string): boolean => OF_ONE_ZONE.has(path)
