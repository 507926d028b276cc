import type { Command } from './programme.ts'

/** What somebody at the controls tells the line. */
export interface ManualCommand {
  /** m/s; reached at the line's own acceleration. */
  readonly speed: number
  /** N by zone. */
  readonly setTension: Readonly<Record<string, number>>
  /** The drives let go of the web. */
  readonly slack: boolean
  readonly driveEnabled: boolean
}

/** How fast a line runs up and down by hand, m/s². */
export const HAND_ACCELERATION = 0.25

/** The line under its controls instead of its programme. */
export class ManualDrive {
  #told: ManualCommand
  #speed: number

  /** Goes on from what the programme asked for. */
  constructor({ speed, setTension, slack }: Command) {
    this.#told = { speed, setTension, slack, driveEnabled: !slack }
    this.#speed = speed
  }

  get told(): ManualCommand {
    return this.#told
  }

  /** What is asked for now: the speed on its way. */
  get command(): Command {
    return { speed: this.#speed, setTension: this.#told.setTension, slack: this.#told.slack }
  }

  take(command: ManualCommand): void {
    this.#told = command
  }

  step(dt: number): Command {
    const change = this.#told.speed - this.#speed
    const most = HAND_ACCELERATION * dt
    this.#speed = Math.abs(change) <= most ? this.#told.speed : this.#speed + Math.sign(change) * most
    return this.command
  }
}
