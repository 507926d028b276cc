import { chromium } from 'playwright-core'
import { startFedGateway } from './tests/browser/support/fed-gateway.ts'
