/** What a gateway under endurance has loaded before itself. */
import './simulated-wall.mjs'
import './paced-feed.mjs'
import './told-memory.mjs'
