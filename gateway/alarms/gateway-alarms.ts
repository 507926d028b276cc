import { shortNumber } from '../../lib/statistics/words.ts'
import type { Config, DeviceConfig } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import { type AlarmKind, type Look, NOTHING_SEEN } from './defined-alarm.ts'
import type { RecordingFacts } from './facts.ts'

const BYTES_PER_GB = 1e9

/** Every alarm of the gateway itself. A new one is a row here, and a key of `gatewayAlarms` in shared/schemas/config.ts. */
export function gatewayAlarms({ alarms, devices, recorder }: Config): AlarmKind[] {
  const missing = recorder.enabled ? undefined : 'recording is off in the config'
  return [
    ...devices.map(
      (device): AlarmKind => ({
        id: `gateway.device-lost.${device.id}`,
        key: 'device_lost',
        title: nameOf(device),
        wrong: 'does not answer',
        config: alarms.device_lost,
        look: ({ devices: seen }) => lookAtDevice(seen.get(device.id)),
      }),
    ),
    {
      id: 'gateway.recording-degraded',
      key: 'recording_degraded',
      title: 'Recording of every sample',
      wrong: 'has stopped',
      config: alarms.recording_degraded,
      missing,
      look: ({ recording }) => lookAtRecording(recording, 'roll-ups-only'),
    },
    {
      id: 'gateway.recording-stopped',
      key: 'recording_stopped',
      title: 'Recording',
      wrong: 'has stopped',
      config: alarms.recording_stopped,
      missing,
      look: ({ recording }) => lookAtRecording(recording, 'stopped'),
    },
    {
      id: 'gateway.disk-low',
      key: 'disk_low',
      title: 'Free disk space',
      wrong: 'is low',
      config: alarms.disk_low,
      look: ({ freeBytes }) => lookAtDisk(freeBytes, alarms.disk_low_below_gb, alarms.disk_low.deadband_percent),
    },
  ]
}

const nameOf = ({ id, name }: DeviceConfig): string => name ?? id

const plain = (sentence: string) => ({ value: null, unit: '', U: null, limit: null, limitSource: null, sentence })

/** A device that starts, or a recording that has come to its end, tells nothing. */
function lookAtDevice(device: DeviceHealth | undefined): Look {
  if (device === undefined || device.state === 'starting' || device.state === 'ended') return NOTHING_SEEN
  const { state, where, lastError, lastAnswerMs: timeMs } = device
  if (state === 'answering') return { condition: 'inside', reading: { ...plain(`${where} answers.`), timeMs } }
  const said = lastError === null ? '' : ` The last error: ${lastError.message}.`
  const sentence = state === 'partly' ? `${where} answers only in part.` : `${where} does not answer.`
  return { condition: 'outside', reading: { ...plain(sentence + said), timeMs } }
}

function lookAtRecording(recording: RecordingFacts | null, wrong: RecordingFacts['state']): Look {
  // Stopped without a reason: the store is only being opened.
  if (recording === null || (recording.state === 'stopped' && recording.why === null)) return NOTHING_SEEN
  const { state, why } = recording
  const reading = { ...plain(why ?? 'Recording runs.'), timeMs: null }
  // While nothing at all is recorded, it is not over that samples are left out.
  const isWorse = wrong === 'roll-ups-only' && state === 'stopped'
  return { condition: state === wrong ? 'outside' : isWorse ? 'between' : 'inside', reading }
}

function lookAtDisk(freeBytes: number | null, belowGb: number, deadbandPercent: number): Look {
  if (freeBytes === null) return NOTHING_SEEN
  const gb = freeBytes / BYTES_PER_GB
  const isLow = gb < belowGb
  const isWell = gb >= belowGb * (1 + deadbandPercent / 100)
  return {
    condition: isLow ? 'outside' : isWell ? 'inside' : 'between',
    reading: {
      value: gb,
      unit: 'GB',
      U: null,
      limit: belowGb,
      limitSource: 'alarms.disk_low_below_gb of the config',
      sentence: `${shortNumber(gb)} GB free; under ${shortNumber(belowGb)} GB is low.`,
      timeMs: null,
    },
  }
}
