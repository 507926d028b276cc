import type { Metadata } from 'next'
import { WordsHelp } from './WordsHelp.tsx'

export const metadata: Metadata = { title: 'Help: words' }

export default function WordsPage() {
  return <WordsHelp />
}
