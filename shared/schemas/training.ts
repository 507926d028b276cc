/**
 * What page, gateway and training desk say to one another. The desk lives in the simulator's process, which alone knows
 * what is hidden; the gateway hands requests on. Everything a trainee gets before the debrief is `trainingExercise`: it
 * has no place for a hidden fault. Times are epoch ms (`…Ms`) or seconds of the machine's own time (`…Seconds`).
 */
export * from './training/choices.ts'
export {
  actNeeds,
  machineCondition,
  type TrainingReading,
  type TrainingSide,
  traineeName,
} from './training/common.ts'
export * from './training/debrief.ts'
export * from './training/exercise.ts'
export * from './training/instructor.ts'
export * from './training/results.ts'
