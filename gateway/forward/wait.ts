/** Resolves after a while, or at once when it is aborted. */
export function wait(ms: number, signal?: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const end = () => {
      clearTimeout(timer)
      signal?.removeEventListener('abort', end)
      resolve()
    }
    const timer = setTimeout(end, ms)
    signal?.addEventListener('abort', end)
    if (signal?.aborted) end()
  })
}
