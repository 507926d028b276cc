export const PAGES = [
  { path: '/', title: 'Live' },
  { path: '/geometry', title: 'Geometry' },
  { path: '/verification', title: 'Verification' },
  { path: '/shift', title: 'Shift' },
  { path: '/diagnosis', title: 'Diagnosis' },
  { path: '/training', title: 'Training' },
  { path: '/set-up', title: 'Set-up' },
  { path: '/trail', title: 'Trail' },
  { path: '/help', title: 'Help' },
] as const

/** Pages that show one zone at a time. */
const OF_ONE_ZONE: ReadonlySet<string> = new Set(['/', '/large', '/geometry', '/verification', '/shift', '/diagnosis'])

export const showsOneZone = (path: string): boolean => OF_ONE_ZONE.has(path)

/** Help has pages below it. */
export const isWithin = (path: string, page: string): boolean => path === page || path.startsWith(`${page}/`)

/** Help holds nothing of the plant: whoever cannot log in may read why. */
export const isForEverybody = (path: string): boolean => isWithin(path, '/help')
