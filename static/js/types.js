/**
 * Shapes of the JSON that the server sends, and of the desk's own state. Lengths in mm,
 * x to the right, y down, angles in degrees clockwise as drawn.
 *
 * @typedef {{x_mm: number, y_mm: number, angle_deg: number}} Pose
 * @typedef {{x: number, y: number}} Point
 * @typedef {{width: number, depth: number}} Size
 * @typedef {{x0: number, y0: number, x1: number, y1: number}} Bounds
 *
 * @typedef {object} Piece
 * @property {string} id
 * @property {string} type
 * @property {Pose} pose
 * @property {string} label
 * @property {number|null} width_mm
 * @property {number|null} depth_mm
 * @property {number|null} height_mm
 * @property {string|null} carried_by
 * @property {boolean} stays
 * @property {boolean} pinned
 * @property {number|null} plate_mm
 * @property {number|null} deck_mm
 * @property {number|null} grade_percent
 * @property {number|null} price_minor
 *
 * @typedef {{id: string, x_mm: number, y_mm: number, lining_mm: number}} Wall
 * @typedef {{id: string, outline: [number, number][]}} Column
 * @typedef {{walls: Wall[], columns: Column[]}} Room
 * @typedef {{movement: string, wish: 'want'|'nice'|'no'}} Wish
 * @typedef {{id: string, label: string, stature_mm: number, wishes: Wish[]}} Person
 * @typedef {{id: string, reason: string, on: string, measured: number|null,
 *   required: number|null}} Settled
 * @typedef {{name: string, drawn_for: string, units: 'metric'|'feet', currency: string,
 *   room: Room, people: Person[], pieces: Piece[], settled: Settled[]}} Plan
 *
 * @typedef {{path: string[], before: unknown, after: unknown}} Change
 * @typedef {{name: string, says: string, changes: Change[]}} Command
 * @typedef {{sentence: string, commands: Command[]}} Remedy
 * @typedef {{key: string, title: string, clause: string, status: string}} Source
 *
 * @typedef {object} Snag
 * @property {string} key
 * @property {number} number
 * @property {string} code
 * @property {'stop'|'care'|'note'} severity
 * @property {string} who
 * @property {string} sentence
 * @property {string[]} pieces
 * @property {string|null} person
 * @property {string|null} movement
 * @property {number|null} measured
 * @property {number|null} required
 * @property {number|null} need
 * @property {string|null} unit
 * @property {Source[]} sources
 * @property {Point|null} where
 * @property {Remedy|null} remedy
 * @property {{reason: string, on: string}|null} settled
 *
 * @typedef {{stop: number, care: number, note: number}} Counts
 * @typedef {{plan: string, counts: Counts, snags: Snag[]}} Verdict
 *
 * @typedef {object} KitRow
 * @property {string} name
 * @property {string} group
 * @property {number} width_mm
 * @property {number} depth_mm
 * @property {number} height_mm
 * @property {number|null} price_minor
 * @property {boolean} bar
 * @property {boolean} runs
 * @property {{name: string, y: string}[]} rests
 *
 * @typedef {object} Answer
 * @property {string} id
 * @property {number} revision
 * @property {Plan} plan
 * @property {boolean} can_undo
 * @property {boolean} can_redo
 * @property {string|null} undo_says
 * @property {string|null} redo_says
 * @property {Verdict} verdict
 * @property {string} drawing
 *
 * @typedef {Omit<Answer, 'drawing'> & {library: Record<string, KitRow>,
 *   movements: Record<string, string>, generic_type: string|null}} PageData
 *
 * @typedef {object} State
 * @property {number} revision
 * @property {Plan} plan
 * @property {boolean} canUndo
 * @property {boolean} canRedo
 * @property {string} undoSays
 * @property {string} redoSays
 * @property {Verdict} verdict   what the list and the flags show now
 * @property {boolean} trying    the verdict is that of a preview
 * @property {Record<string, Remedy>} remedies
 * @property {Record<string, Pose>} preview  pieces that are shown elsewhere than the plan has them
 * @property {string|null} chosen  id of the piece in the hand
 * @property {string|null} snag    key of the chosen snag
 * @property {boolean} whole       move the whole station
 * @property {'saved'|'saving'|'failed'} saving
 * @property {string} fault        why it was not saved
 */

export {};
