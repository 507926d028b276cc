import { expect, test } from 'vitest'
import { channelPlace } from '../../gateway/channel-place.ts'
import { channel } from '../../shared/schemas/config/channel.ts'

const placeOf = (iio: string) => channelPlace(channel.parse({ id: 'c', device: 'adc', iio_channel: iio }))

test('an IIO input says in which unit its readings come, which is not the kernel’s for a voltage', () => {
  expect(placeOf('voltage0')).toBe('IIO channel voltage0, in V')
  expect(placeOf('voltage0-voltage1')).toBe('IIO channel voltage0-voltage1, in V')
  expect(placeOf('current1')).toBe('IIO channel current1, in mA')
})
