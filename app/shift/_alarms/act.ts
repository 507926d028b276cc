import { alarm } from '../../../shared/schemas/alarms.ts'
import { askGateway, type Failure } from '../../_ui/ask.ts'

export type AlarmAct = 'acknowledge' | 'shelve' | 'unshelve' | 'out-of-service' | 'in-service'

/** Asks the gateway to do something to an alarm; the list follows over the stream. Returns why it was not done. */
export async function actOnAlarm(id: string, act: AlarmAct, body: Record<string, unknown>): Promise<Failure | null> {
  const answer = await askGateway(`/api/alarms/${encodeURIComponent(id)}/${act}`, alarm, { method: 'POST', body })
  return answer.ok ? null : answer.failure
}
