import { slugOf } from '../../forward/settings.ts'
import { type Finding, wrong, wrongKey } from '../finding.ts'
import type { Parts } from '../parts.ts'

const PATH = ['forward', 'mqtt'] as const

/** Topic, password and TLS of the broker that messages go to. */
export function checkForward({ forward, place }: Parts): Finding[] {
  const mqtt = forward?.mqtt
  if (mqtt === undefined) return []
  const findings: Finding[] = []
  // Two gateways under one topic could not be told apart.
  if (mqtt.topic === undefined && slugOf(`${place.plant ?? ''} ${place.line ?? ''}`) === '')
    findings.push(wrong(PATH, 'forward.mqtt: topic is missing; it can be left out only where plant or line are given'))
  if (mqtt.password_file !== undefined && mqtt.username === undefined)
    findings.push(wrongKey([...PATH, 'password_file'], 'forward.mqtt: password_file needs a username beside it'))
  if (mqtt.tls !== undefined && !mqtt.url.startsWith('mqtts:'))
    findings.push(
      wrongKey([...PATH, 'tls'], `forward.mqtt: tls needs a url that begins with mqtts://, got ${mqtt.url}`),
    )
  return findings
}
