import { registerView, registerViewQuery } from '../../../shared/schemas/register-view.ts'
import { defineRoute } from '../define-route.ts'
import { exampleRegisterView } from '../examples.ts'

/** Each request is one read on the device's own line, between its polls. */
const PER_SECOND = 4

export const registersRoute = defineRoute({
  method: 'GET',
  path: '/api/registers',
  summary: 'A register range of a device in every type and word order, read once',
  parameters: [],
  query: registerViewQuery,
  queryExample: { device: exampleRegisterView.device, unit_id: 1, function: 4, address: 0, count: 1 },
  // Each read takes the device's own line for a moment: who only looks does not.
  needs: 'operate',
  response: {
    kind: 'json',
    description: 'The registers as read; nothing is written to the device.',
    schema: registerView,
    example: exampleRegisterView,
  },
  refusals: {
    404: 'No such device, or none with registers.',
    429: `More than ${PER_SECOND} requests in a second.`,
    502: 'The device is unreachable, closed the connection, answered with an exception, or broke the protocol.',
    504: 'The device did not answer in time.',
  },
  perSecond: PER_SECOND,
  handle: ({ query, sources }) => sources.readRegisters(query),
})
