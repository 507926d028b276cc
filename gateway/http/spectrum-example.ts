import type { ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import { exampleZoneNow } from './examples.ts'

/** Example for the OpenAPI document: one line that the measuring roller could make. */
export const exampleSpectrum: ZoneSpectrum = {
  zone: exampleZoneNow.zone,
  timeMs: exampleZoneNow.timeMs,
  seconds: 60,
  signals: {
    single: {
      state: 'told',
      method: 'welch',
      sentence: 'Even samples without a gap: Welch’s method.',
      fromMs: exampleZoneNow.timeMs - 60_000,
      toMs: exampleZoneNow.timeMs,
      samples: 6000,
      rateHz: 100,
      jitter: 0.01,
      segments: 10,
      binHz: 0.0977,
      noiseBandwidthHz: 0.1465,
      resolutionHz: 0.195,
      lowestHz: 0.293,
      startHz: 0,
      stepHz: 0.0977,
      amplitude: [0.05, 0.05, 0.04],
      floor: [0.04, 0.04, 0.04],
      lines: [
        {
          frequencyHz: 10.61,
          U_Hz: 0.01,
          order: 1,
          amplitude: 0.31,
          U: 0.02,
          falseAlarm: 1e-9,
          candidates: [
            {
              kind: 'turn',
              name: 'measuring roller',
              order: 1,
              words: 'once a turn of the measuring roller',
              frequencyHz: 10.61,
              U: 0.12,
              seenHz: 10.61,
              folded: false,
            },
          ],
          smeared: false,
        },
      ],
    },
  },
  speed: {
    state: 'steady',
    mean: 5,
    changePercent: 0.2,
    turnHz: 10.61,
    smearedAboveHz: null,
    sentence: 'The speed moved by 0.20 %: slow lines stand.',
  },
  falseAlarmLimit: 0.001,
  cannotSee: ['Two lines nearer than 0.195 Hz are seen as one.'],
}
