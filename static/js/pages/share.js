/** The page of sharing tells times as they are here. */

import { tellTimes } from './times.js';

tellTimes();
