const hex = (byte: number) => byte.toString(16).padStart(2, '0')

/**
 * A random key (RFC 9562, version 4). Not `crypto.randomUUID`: browsers have that only on pages they call secure,
 * which a gateway reached by plain HTTP over a plant's network is not.
 */
export function newKey(random: Uint8Array = crypto.getRandomValues(new Uint8Array(16))): string {
  const bytes = Uint8Array.from(random)
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80
  const text = [...bytes].map(hex).join('')
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join('-')
}
