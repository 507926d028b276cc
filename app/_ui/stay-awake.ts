import { useEffect, useState } from 'react'

/** `held`: the screen stays on; `refused`: this browser or its battery says no; `absent`: it has no way to. */
export type Awake = 'off' | 'held' | 'refused' | 'absent'

/**
 * Keeps the screen on while `wanted` (Screen Wake Lock, W3C). The browser lets go whenever the page is out of sight; it
 * is asked again when the page is back. On an address that is not this machine's own it takes HTTPS.
 */
export function useStayAwake(wanted: boolean): Awake {
  const [state, setState] = useState<Awake>('off')
  useEffect(() => {
    if (!wanted) return
    let lock: WakeLockSentinel | null = null
    let isOver = false
    const ask = async () => {
      if (document.visibilityState !== 'visible') return
      const next = await request()
      if (isOver) void next.lock?.release()
      else {
        lock = next.lock
        // The device may take it back while the page is in sight: its battery has run low.
        lock?.addEventListener('release', () => {
          if (!isOver && document.visibilityState === 'visible') setState('refused')
        })
        setState(next.state)
      }
    }
    const again = () => void ask()
    document.addEventListener('visibilitychange', again)
    void ask()
    return () => {
      isOver = true
      document.removeEventListener('visibilitychange', again)
      void lock?.release()
      setState('off')
    }
  }, [wanted])
  return state
}

async function request(): Promise<{ readonly lock: WakeLockSentinel | null; readonly state: Awake }> {
  if (!('wakeLock' in navigator)) return { lock: null, state: 'absent' }
  try {
    return { lock: await navigator.wakeLock.request('screen'), state: 'held' }
  } catch {
    return { lock: null, state: 'refused' }
  }
}

export const AWAKE_WORDS: Readonly<Record<Awake, string | null>> = {
  off: null,
  held: 'The screen stays on.',
  refused: 'This device does not keep its screen on just now: its battery may be low.',
  absent: 'This browser cannot keep the screen on here: set the device not to sleep.',
}
