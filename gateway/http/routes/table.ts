import type { Route } from '../route.ts'
import { alarmActionRoutes } from './alarm-actions.ts'
import { alarmsRoute } from './alarms.ts'
import { channelCalibrationRoute } from './channel-calibration.ts'
import { computeCalibrationRoute } from './compute-calibration.ts'
import { computeDiagnosisRoute } from './compute-diagnosis.ts'
import { computeGeometryRoute } from './compute-geometry.ts'
import { computeStatisticsRoute } from './compute-statistics.ts'
import { eventsRoute } from './events.ts'
import { healthRoute } from './health.ts'
import { metricsRoute } from './metrics.ts'
import { openApiRoute } from './openapi.ts'
import { registersRoute } from './registers.ts'
import { revisionsRoute } from './revisions.ts'
import { changePasswordRoute, logInRoute, logOutRoute, sessionRoute } from './session.ts'
import { trainingRoutes } from './training.ts'
import { addUserRoute, changeUserRoute, removeUserRoute, usersRoute } from './users.ts'
import { verificationReportRoutes } from './verification-reports.ts'
import { verificationRoutes } from './verifications.ts'
import { zoneDiagnosisRoute } from './zone-diagnosis.ts'
import { cancelExportRoute, exportProgressRoute, zoneExportRoute } from './zone-export.ts'
import { changeZoneGeometryRoute, zoneGeometryRoute } from './zone-geometry.ts'
import { zoneHistoryRoute } from './zone-history.ts'
import { zoneNoteRoutes } from './zone-notes.ts'
import { zoneNowRoute } from './zone-now.ts'
import { zoneShiftRoute } from './zone-shift.ts'
import { zoneSpectrumRoute } from './zone-spectrum.ts'
import { zoneSummaryRoute } from './zone-summary.ts'
import { zonesRoute } from './zones.ts'

/** Every route of the API. A new one is a file beside this and a row here. */
export function routeTable(version: string): readonly Route[] {
  const routes: readonly Route[] = [
    healthRoute,
    zonesRoute,
    zoneNowRoute,
    zoneSpectrumRoute,
    zoneShiftRoute,
    zoneDiagnosisRoute,
    zoneSummaryRoute,
    zoneHistoryRoute,
    zoneExportRoute,
    exportProgressRoute,
    cancelExportRoute,
    eventsRoute,
    ...zoneNoteRoutes,
    ...verificationRoutes,
    ...verificationReportRoutes,
    ...trainingRoutes,
    registersRoute,
    zoneGeometryRoute,
    changeZoneGeometryRoute,
    channelCalibrationRoute,
    revisionsRoute,
    alarmsRoute,
    ...alarmActionRoutes,
    computeGeometryRoute,
    computeCalibrationRoute,
    computeStatisticsRoute,
    computeDiagnosisRoute,
    sessionRoute,
    changePasswordRoute,
    logInRoute,
    logOutRoute,
    usersRoute,
    addUserRoute,
    changeUserRoute,
    removeUserRoute,
    openApiRoute(version, () => routes),
    metricsRoute,
  ]
  return routes
}
