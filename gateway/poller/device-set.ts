import { isDeepStrictEqual } from 'node:util'
import { EvenpullError } from '../../shared/errors.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { Line } from '../transports/line.ts'
import { DevicePoller } from './device-poller.ts'
import type { DeviceRunner, RegisterRead, RunnerContext } from './device-runner.ts'
import type { DeviceState } from './device-state.ts'
import { ReplayPlayer } from './replay-player.ts'
import type { DevicePlan } from './types.ts'

interface Running {
  readonly plan: DevicePlan
  readonly runner: DeviceRunner
}

/** Devices that are in the one set of plans but not, or not the same, in the other. */
export function changedDevices(before: readonly DevicePlan[], after: readonly DevicePlan[]): Set<string> {
  const same = (a: DevicePlan) => (b: DevicePlan) => isDeepStrictEqual(a, b)
  const unmatched = (from: readonly DevicePlan[], to: readonly DevicePlan[]) =>
    from.filter((plan) => !to.some(same(plan))).map((plan) => plan.device.id)
  return new Set([...unmatched(before, after), ...unmatched(after, before)])
}

/** The devices at work. Devices whose plan stays the same are left alone by a change of the others. */
export class DeviceSet {
  readonly #openLine: (device: DevicePlan['device']) => Line
  readonly #context: RunnerContext
  #running = new Map<string, Running>()
  #plans: readonly DevicePlan[] = []
  #change: Promise<void> = Promise.resolve()

  constructor(openLine: (device: DevicePlan['device']) => Line, context: RunnerContext) {
    this.#openLine = openLine
    this.#context = context
  }

  /**
   * Stops at once what has changed: when this returns, none of it emits any more. Resolves when
   * the old lines are closed and the new ones run; a serial port must be free before it is opened.
   */
  apply(plans: readonly DevicePlan[]): Promise<void> {
    const changed = changedDevices(this.#plans, plans)
    this.#plans = plans
    const closing = [...this.#running].filter(([id]) => changed.has(id))
    for (const [id] of closing) this.#running.delete(id)
    const closed = Promise.all(closing.map(([, { runner }]) => runner.stop()))
    this.#change = this.#change.then(async () => {
      await closed
      this.#startMissing()
      this.#context.changed()
    })
    return this.#change
  }

  stop(): Promise<void> {
    return this.apply([])
  }

  /** In the order of the config. */
  health(): DeviceHealth[] {
    return this.#inOrder().map(({ runner }) => runner.health())
  }

  /** States in the order of the config. */
  states(): DeviceState[] {
    return this.#inOrder().map(({ runner }) => runner.state())
  }

  async readRegisters(query: RegisterViewQuery): Promise<RegisterRead> {
    await this.#change // a device that was just configured is there once its line runs
    const running = this.#running.get(query.device)
    if (running === undefined) throw new EvenpullError('EVP_REQUEST_INVALID', `there is no device "${query.device}"`)
    return running.runner.readRegisters(query)
  }

  #inOrder(): Running[] {
    return this.#plans.flatMap((plan) => this.#running.get(plan.device.id) ?? [])
  }

  /** Plans may have changed again while lines were closing: only the newest count. */
  #startMissing(): void {
    for (const plan of this.#plans)
      if (!this.#running.has(plan.device.id)) this.#running.set(plan.device.id, { plan, runner: this.#start(plan) })
  }

  #start(plan: DevicePlan): DeviceRunner {
    const line = this.#openLine(plan.device)
    return line.kind === 'polled'
      ? new DevicePoller(plan, line, this.#context)
      : new ReplayPlayer(plan, line, this.#context)
  }
}
