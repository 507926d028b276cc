import { describe, expect, it } from 'vitest'
import { hannWindow } from '../../lib/spectrum/hann.ts'
import { lombScargle } from '../../lib/spectrum/lomb-scargle.ts'
import { fastSums } from '../../lib/spectrum/uneven-sums.ts'
import { finish, welch } from '../../lib/spectrum/welch.ts'
import { fUpperTail } from '../../lib/statistics/f-distribution.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { linesIn, madeSignal, spectrumOf } from '../spectrum/made-signals.ts'

/** scipy of the machine, run live beside the stored values of spectrum.test.ts. */
const noScipy = absent('scipy')
const PROGRAM = `
import sys, json
import numpy as np
from scipy import signal, stats, optimize
d = json.load(sys.stdin)
x = np.array(d["even"])
t = np.array(d["times"])
y = np.array(d["values"])
_, p = signal.welch(x, fs=100, window="hann", nperseg=1024, noverlap=512, detrend="linear")
w = 2 * np.pi * np.array(d["frequencies"])
ls = signal.lombscargle(t, y - y.mean(), w)
start = [1.0, 0.0, 8.49, 200.0, 0.0]
sine = lambda q: q[0]*np.sin(2*np.pi*q[2]*t) + q[1]*np.cos(2*np.pi*q[2]*t) + q[3] + q[4]*t - y
fit = optimize.least_squares(sine, start).x
json.dump({
  "welch": p.tolist(), "lomb": ls.tolist(),
  "amplitude": float(np.hypot(fit[0], fit[1])), "hz": float(fit[2]),
  "tails": [float(stats.f.sf(f, a, b)) for f, a, b in d["tails"]],
}, sys.stdout)
`

interface Told {
  readonly welch: number[]
  readonly lomb: number[]
  readonly amplitude: number
  readonly hz: number
  readonly tails: number[]
}

describe('scipy beside the product', () => {
  it.skipIf(noScipy !== null)(
    titled('Welch, Lomb–Scargle, a fitted sine and the chance of noise agree on 6000 samples', noScipy),
    () => {
      const tones = [
        { amplitude: 1, hz: 8.4883, phase: 0.4 },
        { amplitude: 0.2, hz: 30.02 },
      ]
      const made = { samples: 6000, rateHz: 100, tones, level: 200, sigma: 0.4, memory: 0.5 }
      const even = madeSignal(made)
      const uneven = madeSignal({ ...made, missing: 0.05, jitter: 0.1, seed: 2 })
      const binHz = 1 / 64
      const bins = Array.from({ length: 200 }, (_, i) => 20 * (i + 1))
      const tails = [
        [1.5, 18.9, 40.2],
        [4, 12.4, 100],
        [9, 6, 30],
      ] as const
      const told = runPython(PROGRAM, {
        even: [...even.values],
        times: [...uneven.times],
        values: [...uneven.values],
        frequencies: bins.filter((k) => k < 2048).map((k) => k * binHz),
        tails,
      }) as Told

      const settings = { rateHz: 100, window: hannWindow(1024), overlap: 512, detrend: 'linear' } as const
      const { density } = finish(welch(even.values, settings))
      told.welch.forEach((power, k) => {
        expect(Math.abs((density[k] ?? 0) / power - 1), `bin ${k}`).toBeLessThan(1e-6)
      })

      const mean = uneven.values.reduce((sum, v) => sum + v / uneven.values.length, 0)
      const samples = {
        times: uneven.times,
        values: uneven.values.map((v) => v - mean),
        weights: uneven.values.map(() => 1),
      }
      const fits = lombScargle(samples, binHz, 2048, { floatingMean: false, sums: fastSums })
      const strongest = Math.max(...told.lomb)
      told.lomb.forEach((power, i) => {
        const own = (fits[bins[i] ?? 0]?.reduction ?? 0) / 2
        expect(Math.abs(own - power), `at ${bins[i]}`).toBeLessThan(1e-5 * strongest)
      })

      const line = linesIn(spectrumOf(uneven), 1e-3).find(({ frequencyHz }) => Math.abs(frequencyHz - 8.5) < 0.1)
      expect(Math.abs((line?.amplitude ?? 0) - told.amplitude)).toBeLessThan(2 * (line?.uAmplitude ?? 0))
      expect(Math.abs((line?.frequencyHz ?? 0) - told.hz)).toBeLessThan(2 * (line?.uFrequencyHz ?? 0))
      tails.forEach(([f, a, b], i) => {
        expect(fUpperTail(f, a, b) / (told.tails[i] ?? 1)).toBeCloseTo(1, 8)
      })
    },
  )
})
