import { EvenpullError } from '../shared/errors.ts'

/** What lists the things of a kind; zones are listed where the error's own remedy says. */
const LISTED = {
  zone: undefined,
  channel: 'GET /api/health lists the channels.',
  'verification record': 'GET /api/zones/ID/verifications lists the records of a zone.',
  export: 'It never was, or is forgotten: ask for it anew.',
} as const

/** EVP_NOT_FOUND for an id that names nothing, with where to see those there are. */
export function notThere(kind: keyof typeof LISTED, id: string): EvenpullError {
  const remedy = LISTED[kind]
  const message = `no ${kind} ${JSON.stringify(id.slice(0, 80))}`
  return new EvenpullError('EVP_NOT_FOUND', message, remedy === undefined ? {} : { remedy })
}
