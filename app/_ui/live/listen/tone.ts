/** Time in which pitch and loudness follow, s: no clicks, and the noise of single samples is smoothed. */
const FOLLOW_S = 0.12

/** One sine with a loudness of its own; silent until it is given a pitch. */
export class Tone {
  readonly #context: AudioContext
  readonly #oscillator: OscillatorNode
  readonly #gain: GainNode
  #volume: number
  #hz: number | null = null

  /** @param volume 0 to 1 */
  constructor(context: AudioContext, volume: number) {
    this.#context = context
    this.#volume = volume
    this.#gain = context.createGain()
    this.#gain.gain.value = 0
    this.#gain.connect(context.destination)
    this.#oscillator = context.createOscillator()
    this.#oscillator.connect(this.#gain)
    this.#oscillator.start()
  }

  /** null is silence. */
  sound(hz: number | null): void {
    const now = this.#context.currentTime
    // The first pitch is there at once: the tone does not glide in from another.
    if (hz !== null && this.#hz === null) this.#oscillator.frequency.setValueAtTime(hz, now)
    else if (hz !== null) this.#oscillator.frequency.setTargetAtTime(hz, now, FOLLOW_S)
    this.#hz = hz
    this.#gain.gain.setTargetAtTime(hz === null ? 0 : this.#loudness, now, FOLLOW_S / 4)
  }

  set volume(volume: number) {
    this.#volume = volume
    if (this.#hz !== null) this.#gain.gain.setTargetAtTime(this.#loudness, this.#context.currentTime, FOLLOW_S / 4)
  }

  /** Ends it for good. */
  stop(): void {
    this.#oscillator.stop()
    void this.#context.close()
  }

  /** The ear hears by ratios; a square is near enough to that. */
  get #loudness(): number {
    return this.#volume * this.#volume
  }
}
