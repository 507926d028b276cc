const MOST_TURNS = 60

/**
 * `fetch` that waits its turn: a 429 is asked again after what Retry-After says, as any client should, so that how fast
 * a machine is decides no test. Whoever tests the limit itself takes `fetch`.
 */
export async function patientFetch(url: string, init?: RequestInit): Promise<Response> {
  for (let turn = 1; ; turn++) {
    const answer = await fetch(url, init)
    const waitS = Number(answer.headers.get('retry-after') ?? Number.NaN)
    if (answer.status !== 429 || Number.isNaN(waitS) || turn === MOST_TURNS) return answer
    await answer.body?.cancel()
    await new Promise((resolve) => setTimeout(resolve, 1000 * waitS))
  }
}
