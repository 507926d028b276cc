import { describe, expect, it } from 'vitest'
import { FailedLogIns } from '../../gateway/access/failed-log-ins.ts'

function afterFailures(count: number, address: (i: number) => string, name: (i: number) => string = () => 'anna') {
  const failed = new FailedLogIns()
  for (let i = 0; i < count; i++) failed.failed(name(i), address(i), 0)
  return failed
}

describe('after failed log-ins', () => {
  it('a name waits 1 s after the third, twice as long after each further one, a minute at most', () => {
    const elsewhere = (i: number) => `192.0.2.${i}`
    const waits = [1, 2, 3, 4, 5, 9, 10, 30].map(
      (n) => afterFailures(n, elsewhere).waitMs('anna', '198.51.100.1', 0) / 1000,
    )
    expect(waits).toEqual([0, 0, 1, 2, 4, 60, 60, 60])
  })

  it('an address waits whatever name it tries, a quarter of an hour at most', () => {
    const other = (i: number) => `name ${i}`
    const waits = [9, 10, 11, 14, 40].map(
      (n) => afterFailures(n, () => '192.0.2.1', other).waitMs('new', '192.0.2.1', 0) / 1000,
    )
    expect(waits).toEqual([0, 1, 2, 16, 900])
    expect(afterFailures(40, () => '192.0.2.1', other).waitMs('new', '192.0.2.2', 0)).toBe(0)
  })

  it('waiting counts from the last failure and ends', () => {
    const failed = afterFailures(5, () => '192.0.2.1')
    expect(failed.waitMs('anna', '192.0.2.1', 3999)).toBe(1)
    expect(failed.waitMs('anna', '192.0.2.1', 4000)).toBe(0)
  })

  it('a good log-in forgives the name and not the address', () => {
    const failed = afterFailures(12, () => '192.0.2.1')
    failed.succeeded('anna')
    expect(failed.waitMs('anna', '198.51.100.1', 0)).toBe(0)
    expect(failed.waitMs('anna', '192.0.2.1', 0)).toBe(4000)
  })

  it('after a quarter of an hour of quiet a name begins anew', () => {
    const failed = afterFailures(20, (i) => `192.0.2.${i}`)
    failed.failed('anna', '192.0.2.99', 15 * 60_000)
    expect(failed.waitMs('anna', '192.0.2.99', 15 * 60_000)).toBe(0)
  })

  it('addresses of one IPv6 network, and of IPv4 in both notations, are one', () => {
    for (const [one, same, other] of [
      ['2001:db8:1:2::1', '2001:db8:1:2:ffff:ffff:ffff:ffff', '2001:db8:1:3::1'],
      ['2001:DB8::1', '2001:0db8:0:0:5::9', '2001:db8:0:1::1'],
      ['::ffff:192.0.2.1', '192.0.2.1', '192.0.2.2'],
      ['fe80::1%eth0', 'fe80::2', 'fe81::1'],
    ] as const) {
      const failed = afterFailures(
        11,
        () => one,
        (i) => `name ${i}`,
      )
      expect(failed.waitMs('x', same, 0), same).toBe(2000)
      expect(failed.waitMs('x', other, 0), other).toBe(0)
    }
  })

  it('fifty thousand names and addresses are not all remembered, and the newest are', () => {
    const failed = afterFailures(
      50_000,
      (i) => `address ${i}`,
      (i) => `name ${i >> 2}`,
    )
    expect(failed.size).toBeLessThanOrEqual(10_000)
    expect(failed.waitMs('name 12499', 'elsewhere', 0)).toBe(2000)
    expect(failed.waitMs('name 1', 'elsewhere', 0)).toBe(0)
  })
})
