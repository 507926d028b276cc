import { describe, expect, it } from 'vitest'
import { hostPolicy } from '../../gateway/http/host-policy.ts'

describe('hostPolicy', () => {
  it('bound to loopback, answers to loopback names alone', () => {
    const { hostNamed } = hostPolicy('127.0.0.1')
    for (const host of ['localhost', 'localhost:8420', 'LOCALHOST:8420', '127.0.0.1:8420', '127.0.0.2', '[::1]:8420'])
      expect(hostNamed(host), host).toBe(true)
    for (const host of [
      undefined,
      '',
      'rebound.example',
      'localhost.rebound.example',
      '127.0.0.1.rebound.example',
      '192.0.2.7:8420',
      'localhost@rebound.example',
      'localhost:8420:1',
      'local host',
    ])
      expect(hostNamed(host), String(host)).toBe(false)
  })

  it('bound to the network, answers to addresses, its own name and names given, never to a stranger name', () => {
    const { hostNamed } = hostPolicy('0.0.0.0', { names: ['line-1.plant.example'] })
    for (const host of ['192.0.2.7:8420', '[2001:db8::7]', 'line-1.plant.example:8420', 'localhost'])
      expect(hostNamed(host), host).toBe(true)
    expect(hostNamed('rebound.example')).toBe(false)
  })

  it('takes the name it is bound by whatever its capitals: a browser sends it in small letters', () => {
    const { hostNamed, originAllowed } = hostPolicy('Line-1.Plant.example', { names: ['Proxy.Plant.example'] })
    for (const host of ['line-1.plant.example:8420', 'LINE-1.plant.example', 'proxy.plant.example'])
      expect(hostNamed(host), host).toBe(true)
    expect(originAllowed('http://line-1.plant.example:8420', 'line-1.plant.example:8420')).toBe(true)
  })

  it('takes a page only from the host it asked, and no page at all only on loopback', () => {
    const local = hostPolicy('127.0.0.1')
    expect(local.originAllowed('http://localhost:8420', 'localhost:8420')).toBe(true)
    expect(local.originAllowed(undefined, 'localhost:8420')).toBe(true)
    for (const origin of ['http://localhost:3000', 'http://rebound.example', 'null', '', 'file://localhost:8420'])
      expect(local.originAllowed(origin, 'localhost:8420'), origin).toBe(false)
    expect(local.originAllowed('http://rebound.example', 'rebound.example')).toBe(false)
    const open = hostPolicy('0.0.0.0')
    expect(open.originAllowed(undefined, '192.0.2.7:8420')).toBe(false)
    expect(open.originAllowed('http://192.0.2.7:8420', '192.0.2.7:8420')).toBe(true)
  })

  it('compares default ports as equal, as a browser leaves them out', () => {
    const local = hostPolicy('127.0.0.1')
    expect(local.originAllowed('http://localhost', 'localhost:80')).toBe(true)
    expect(local.originAllowed('https://localhost', 'localhost:443')).toBe(true)
    expect(local.originAllowed('https://localhost', 'localhost:80')).toBe(false)
  })

  it('takes a development origin only when it was named', () => {
    const { originAllowed } = hostPolicy('127.0.0.1', { origins: ['http://localhost:3000'] })
    expect(originAllowed('http://localhost:3000', '127.0.0.1:8420')).toBe(true)
    expect(originAllowed('http://localhost:3001', '127.0.0.1:8420')).toBe(false)
  })
})
