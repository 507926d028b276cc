import { describe, expect, it } from 'vitest'
import { ConfigErrors } from '../../gateway/config/errors.ts'
import { parseConfig } from '../../gateway/config/load.ts'
import { defaultTopic, mqttSettingsOf, slugOf, whereOf } from '../../gateway/forward/settings.ts'
import { configText } from './support/config-text.ts'

const settings = (mqtt: string, more = '') => {
  const found = mqttSettingsOf(parseConfig(configText(mqtt, more), 'line.yaml').config, '/etc/line/line.yaml')
  if (found === null) throw new Error('nothing is sent')
  return found
}
const refusals = (mqtt: string, more = ''): string[] => {
  try {
    settings(mqtt, more)
    return []
  } catch (error) {
    if (!(error instanceof ConfigErrors)) throw error
    return error.errors.map((one) => one.message)
  }
}

describe('forward.mqtt', () => {
  it('takes port, topic and limits from what is left out', () => {
    expect(settings('url: mqtts://broker.example')).toEqual({
      host: 'broker.example',
      port: 8883,
      isTls: true,
      username: null,
      passwordFile: null,
      caFile: null,
      topic: 'evenpull/papiermuhle-sud-line-1',
      plant: 'Papiermühle Süd',
      line: 'Line 1',
      everyMs: 10_000,
      keepMs: 30 * 86_400_000,
      keepBytes: 500e6,
    })
    expect(settings('url: mqtt://broker.example').port).toBe(1883)
  })

  it('reads files beside the config, and an IPv6 address', () => {
    const found = settings('url: "mqtts://[::1]:99", username: u, password_file: secret, tls: { ca: /ca.pem }')
    expect(found).toMatchObject({ host: '::1', port: 99, passwordFile: '/etc/line/secret', caFile: '/ca.pem' })
    expect(whereOf(found)).toBe('[::1]:99')
  })

  it('refuses credentials in the address, and every part that does not belong there', () => {
    for (const url of ['mqtt://u:p@b', 'mqtt://u@b', 'mqtt://b/path', 'mqtt://b?q=1', 'mqtt://b#x'])
      expect(refusals(`url: "${url}"`).join(), url).toMatch(/give scheme, host and port alone/)
    for (const url of ['http://b', 'b:1883', 'ws://b']) expect(refusals(`url: "${url}"`), url).toHaveLength(1)
    expect(refusals('url: "mqtt://u:very-secret@b"').join()).not.toContain('very-secret')
  })

  it('refuses a topic that no publisher may have (MQTT 5.0, section 4.7)', () => {
    for (const topic of ['a/#', 'a/+/b', '#', '$SYS/a', '/a', 'a/', 'a//b', 'a b'])
      expect(refusals(`url: mqtt://b, topic: "${topic}"`), topic).toHaveLength(1)
    expect(settings('url: mqtt://b, topic: mill/line-1').topic).toBe('mill/line-1')
  })

  it('refuses a password without a user, and TLS settings without TLS', () => {
    expect(refusals('url: mqtt://b, password_file: p').join()).toMatch(/password_file needs a username/)
    expect(refusals('url: mqtt://b, tls: { ca: c }').join()).toMatch(/tls needs a url that begins with mqtts/)
  })

  it('wants a topic where neither plant nor line tell one gateway from another', () => {
    expect(refusals('url: mqtt://b', 'anonymous').join()).toMatch(/topic is missing/)
    expect(settings('url: mqtt://b, topic: here', 'anonymous').topic).toBe('here')
  })
})

describe('slugOf', () => {
  it('keeps a–z and 0–9 of any words', () => {
    expect(slugOf('  Línea 3 / Ümläut—B ')).toBe('linea-3-umlaut-b')
    expect(slugOf('///')).toBe('')
    expect(defaultTopic({ plant: undefined, line: 'L1' })).toBe('evenpull/l1')
  })
})
