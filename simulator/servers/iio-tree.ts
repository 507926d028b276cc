import { mkdirSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { EvenpullError } from '../../shared/errors.ts'
import type { ZoneState } from '../physics/zone.ts'

/** A converter board as Linux Industrial I/O shows one: millivolts = (raw + offset) × scale (sysfs-bus-iio ABI). */
export interface IioBoard {
  readonly zone: string
  /** Amplifier output in volts per mV/V. */
  readonly voltsPerSignal: number
  readonly bits: number
  /** Full range of the converter, ± V; raw runs from 0, so the offset is minus half of all codes. */
  readonly rangeVolts: number
}

const DEVICE_FOLDER = 'iio:device0'

/** The tree of one board in `root`, written as sysfs would show it. */
export class IioTree {
  readonly folder: string
  readonly #board: IioBoard

  /** Makes the folder and its constant files. Throws EVP_USAGE when it cannot. */
  constructor(root: string, board: IioBoard) {
    this.folder = join(root, DEVICE_FOLDER)
    this.#board = board
    try {
      mkdirSync(this.folder, { recursive: true })
      writeFileSync(join(this.folder, 'name'), 'simulated-adc\n')
      for (const channel of [0, 1]) {
        writeFileSync(join(this.folder, `in_voltage${channel}_scale`), `${iioScale(board)}\n`)
        writeFileSync(join(this.folder, `in_voltage${channel}_offset`), `${-(2 ** (board.bits - 1))}\n`)
      }
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error)
      throw new EvenpullError('EVP_USAGE', `cannot write the IIO tree in ${root}: ${reason}`, { cause: error })
    }
  }

  /** Writes both channels of one instant; a reader sees the old number or the new one, never half of one. */
  write(zone: ZoneState): void {
    this.#put('in_voltage0_raw', iioRaw(this.#board, zone.cells.drive_side.output))
    this.#put('in_voltage1_raw', iioRaw(this.#board, zone.cells.operator_side.output))
  }

  #put(name: string, raw: number): void {
    const path = join(this.folder, name)
    writeFileSync(`${path}.new`, `${raw}\n`)
    renameSync(`${path}.new`, path)
  }
}

/** mV per code. */
export function iioScale(board: IioBoard): number {
  return (2 * board.rangeVolts * 1000) / 2 ** board.bits
}

/** The code for a signal in mV/V, clipped to what the converter has. */
export function iioRaw(board: IioBoard, signal: number): number {
  const code = Math.round((signal * board.voltsPerSignal * 1000) / iioScale(board)) + 2 ** (board.bits - 1)
  return Math.min(2 ** board.bits - 1, Math.max(0, code))
}
