import { z } from 'zod'
import { positive } from './parts.ts'

const mqttForward = z.strictObject({
  url: z
    .url({ protocol: /^mqtts?$/, error: 'expected mqtt://HOST:PORT, or mqtts://HOST:PORT for TLS' })
    .refine((url) => isPlainAddress(url), 'give scheme, host and port alone: mqtt://broker:1883 or mqtts://broker:8883')
    .describe('mqtt:// or mqtts:// (TLS), host and port of an MQTT 5 broker; 1883 and 8883 when no port is given'),
  username: z.string().min(1).max(200).optional(),
  password_file: z
    .string()
    .min(1)
    .optional()
    .describe('File that holds the password and nothing else, relative to the config file; read at every connection'),
  topic: z
    .string()
    .regex(/^[^#+\s/$][^#+\s/]*(\/[^#+\s/]+)*$/, 'no #, + or space, no empty level, no $ in front')
    .max(200)
    .optional()
    .describe('What every topic begins with; default evenpull/PLANT-LINE in a–z, 0–9 and -'),
  every_s: positive.min(1).max(3600).default(10).describe('Figures of every zone are sent this often'),
  tls: z
    .strictObject({
      ca: z.string().min(1).describe('PEM file of the authority that signed the broker’s certificate'),
    })
    .optional()
    .describe('For mqtts, where the authority is not one the machine trusts anyway'),
})

/** Credentials in an address would stand in the config, in logs and on pages. */
function isPlainAddress(url: string): boolean {
  if (!/^mqtts?:/.test(url) || !URL.canParse(url)) return true // said already
  const { username, password, pathname, search, hash } = new URL(url)
  return [username, password, search, hash].every((part) => part === '') && (pathname === '' || pathname === '/')
}

export const forward = z.strictObject({
  mqtt: mqttForward.optional().describe('Absent: nothing is sent. What waits for the broker: recorder.keep.outbox'),
})
