import type { Metadata } from 'next'
import { SetUpView } from './SetUpView.tsx'

export const metadata: Metadata = { title: 'Set-up' }

export default function SetUpPage() {
  return <SetUpView />
}
