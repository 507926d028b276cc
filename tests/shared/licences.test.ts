import { expect, it } from 'vitest'
import { licences } from '../../gateway/start/licences.mjs'

/** Licences that ask nothing of who runs the product beyond keeping their text. */
const PERMISSIVE = /^(MIT|ISC|0BSD|BSD-3-Clause|Apache-2\.0|MIT OR Apache-2\.0)$/

it('every package that is installed with this one says its licence, and each is a permissive one', () => {
  const listed = (licences() as { name: string; licence: string | null; dev: boolean }[]).filter(({ dev }) => !dev)
  expect(listed.length).toBeGreaterThan(20)
  expect(listed.filter(({ licence }) => !PERMISSIVE.test(licence ?? ''))).toEqual([])
})
