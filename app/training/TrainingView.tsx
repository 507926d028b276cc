'use client'

import { trainingActs, trainingCatalogue } from '../../shared/schemas/training.ts'
import { useHealth } from '../_stream/store.ts'
import { useQuery } from '../_ui/query.ts'
import { useExercise } from '../_ui/training/exercise-store.ts'
import { AnswerView } from './_answer/AnswerView.tsx'
import { DebriefView } from './_debrief/DebriefView.tsx'
import { DeskView } from './_desk/DeskView.tsx'
import { InstructorView } from './_instructor/InstructorView.tsx'
import { useAsked } from './_model/use-asked.ts'
import { LessonView } from './_start/LessonView.tsx'
import { NoMachine } from './_start/NoMachine.tsx'
import { StartView } from './_start/StartView.tsx'
import styles from './Training.module.css'

/** Can you find it? */
export function TrainingView() {
  const health = useHealth()
  if (health === null) return <Waiting words="Waiting for the gateway." />
  return health.training === true ? <WithMachine /> : <NoMachine />
}

function Waiting({ words }: { readonly words: string }) {
  return (
    <div className={styles.page}>
      <h1>Training: can you find it?</h1>
      <p>{words}</p>
    </div>
  )
}

/** The instructor asks for other things than a trainee: neither view asks for the other's. */
function WithMachine() {
  return useQuery('view') === 'instructor' ? <InstructorView /> : <Trainee />
}

function Trainee() {
  const catalogue = useAsked('/api/training', trainingCatalogue)
  const acts = useAsked('/api/training/acts', trainingActs)
  const { exercise, failure, closed } = useExercise()
  const debrief = useQuery('debrief')
  const lesson = useQuery('lesson')
  const step = useQuery('step')
  const trouble = catalogue.failure ?? acts.failure
  if (catalogue.told === null || acts.told === null || exercise === undefined) {
    const said = trouble ?? failure
    return <Waiting words={said === null ? 'Asking the training machine.' : `${said.message} ${said.remedy}`} />
  }
  if (debrief !== null)
    return <DebriefView key={debrief} id={debrief} catalogue={catalogue.told} acts={acts.told.acts} />
  if (exercise !== null)
    return step === 'answer' ? (
      <AnswerView key={exercise.id} exercise={exercise} catalogue={catalogue.told} />
    ) : (
      <DeskView key={exercise.id} exercise={exercise} acts={acts.told.acts} failure={failure} />
    )
  const chosen = catalogue.told.lessons.find(({ id }) => id === lesson)
  return chosen === undefined ? (
    <StartView catalogue={catalogue.told} closed={closed} />
  ) : (
    <LessonView key={chosen.id} lesson={chosen} catalogue={catalogue.told} />
  )
}
