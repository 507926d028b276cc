import type { Target } from '../target.ts'
import { config } from './config.ts'
import { csv } from './csv.ts'
import { http } from './http.ts'
import { modbus } from './modbus.ts'
import { socket } from './socket.ts'

/** Everything that others write and we read. A new one gets its line here. */
export const TARGETS: readonly Target[] = [config, csv, modbus, socket, http]
