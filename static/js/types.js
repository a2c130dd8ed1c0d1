/** @import {Store} from './state/store.js' */
/** @import {Sync} from './sync.js' */
/** @import {Figure} from './view/figure.js' */
/** @import {Viewport} from './view/viewport.js' */

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
 * @property {boolean} later
 * @property {string|null} state
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
 *   room: Room, people: Person[], pieces: Piece[], money: {entries: {id: string, standing: string}[]}, settled: Settled[], chalk: ChalkLine[],
 *   picture: Picture|null}} Plan
 *
 * @typedef {{id: string, width_px: number, height_px: number, x_mm: number, y_mm: number,
 *   mm_per_px: number, angle_deg: number, faint: number}} Picture
 *
 * The room as a picture: the units of it by key in their order, and the markup of those that are
 * new; where all is drawn anew, that too and how it is looked at.
 * @typedef {{revision: number, order: string[], drawn: string, whole?: string, box?: string,
 *   ghosts?: string, along?: [number, number][], words?: string[]}} RoomPicture
 *
 * @typedef {{path: string[], before: unknown, after: unknown}} Change
 * @typedef {{name: string, says: string, changes: Change[]}} Command
 * @typedef {{sentence: string, commands: Command[]}} Remedy
 *
 * Two changes of one place: what stands, what was meant, and the command that insists.
 * @typedef {{theirs: string[], mine: string[], who: string[], revision: number,
 *   command: Command|null}} Both
 *
 * @typedef {{who: string, own: boolean, text: string, at: string}} RemarkLine
 * @typedef {{id: number, letter: string, x: number, y: number, lines: RemarkLine[],
 *   settled: string|null}} Remark
 * @typedef {{who: string, choice: 'for'|'against', revision: number}} Vote
 * @typedef {{remarks: Remark[], votes: Vote[], own_vote: 'for'|'against'|null}} Talk
 * @typedef {{revision: number|null, said: number, who: string[]}} News
 *
 * @typedef {{key: string, title: string, clause: string, status: string}} Source
 *
 * @typedef {object} Snag
 * @property {string} key
 * @property {number} number
 * @property {string} code
 * @property {'stop'|'care'|'note'} severity
 * @property {string} who
 * @property {string} sentence
 * @property {string[]} lines  the sentence as several, where it says several things
 * @property {string[]} pieces
 * @property {string|null} person
 * @property {string|null} movement
 * @property {number|null} measured
 * @property {number|null} required
 * @property {number|null} need
 * @property {string|null} unit
 * @property {{label: string, value: number}[]} [working]
 * @property {Source[]} sources
 * @property {Point|null} where
 * @property {Remedy|null} remedy
 * @property {string|null} tried  where there is no way out, what was tried
 * @property {{reason: string, on: string}|null} settled
 *
 * @typedef {{stop: number, care: number, note: number}} Counts
 * @typedef {{plan: string, counts: Counts, snags: Snag[]}} Verdict
 *
 * What makes a verdict into another: rows that fall away, and rows with their places in the end.
 * @typedef {{counts: Counts, gone: string[], rows: {at: number, row: Snag}[]}} Changed
 *
 * @typedef {object} KitRow
 * @property {string} name
 * @property {string} group
 * @property {number} width_mm
 * @property {number} depth_mm
 * @property {number} height_mm
 * @property {number|null} price_minor
 * @property {boolean} bar
 * @property {boolean} for_wall  made to have its back on a wall
 * @property {number} front_mm  room that it asks for before it
 * @property {number} back_mm  and behind it
 * @property {boolean} front_alone  it is used from the front and from nowhere else
 * @property {boolean} runs
 * @property {{name: string, y: string}[]} rests
 * @property {Record<string, string>} states  names by key, beside the ordinary one
 *
 * @typedef {object} Answer
 * @property {string} id
 * @property {number} revision
 * @property {Plan} plan
 * @property {boolean} can_undo
 * @property {boolean} can_redo
 * @property {string|null} undo_says
 * @property {string|null} redo_says
 * @property {number|null} undo_to  revision that held what an undo leads to
 * @property {number|null} redo_to
 * @property {Verdict} verdict
 * @property {string} [drawing]  left out where it was not asked for
 *
 * @typedef {Omit<Answer, 'drawing'> & {library: Record<string, KitRow>,
 *   movements: Record<string, string>, generic_type: string|null, sketch: boolean,
 *   tidy: boolean, name: string, silent_ms?: number, tallest_mm: number}} PageData
 *
 * Rows of the same fields, the names of those written once; page data with its lists as tables.
 * @typedef {{fields: string[], rows: unknown[][]}} Table
 * @typedef {Omit<PageData, 'plan'|'verdict'> & {plan: Omit<Plan, 'pieces'> & {pieces: Table},
 *   verdict: Omit<Verdict, 'snags'> & {snags: Table, sources: Record<string, Source>}}} ShortData
 *
 * A change that waits until the program answers.
 * @typedef {object} Waiting
 * @property {number} id
 * @property {Command} command
 * @property {number} seen  revision that it was made on
 * @property {boolean} [asFound]  a search found it in that, and it is carried out on no other
 *
 * @typedef {object} State
 * @property {number} revision
 * @property {Plan} plan
 * @property {string|null} undo_says
 * @property {string|null} redo_says
 * @property {number|null} undo_to  revision that held what an undo leads to
 * @property {number|null} redo_to
 * @property {Verdict} verdict   what the list and the flags show now
 * @property {boolean} previewed  the verdict is that of a preview
 * @property {string[]} money  what the list gains or loses while pieces are in the hand
 * @property {Record<string, Remedy>} remedies
 * @property {Record<string, string>} [tried]  of snags without a way out, what was tried
 * @property {number} remediesOf  revision for which the ways out were sought
 * @property {Record<string, Pose>} preview  pieces that are shown elsewhere than the plan has them
 * @property {string|null} chosen  id of the piece in the hand
 * @property {string[]} others     ids of more pieces in the hand
 * @property {string|null} snag    key of the chosen snag
 * @property {boolean} whole       move the whole station
 * @property {Waiting[]} waiting   changes that the program could not be told yet
 * @property {boolean} deaf        what others change is not heard of
 * @property {'saved'|'saving'|'failed'|'away'} saving  away: nothing waits, but the program does not answer
 * @property {string} fault        why it was not saved
 *
 * What a row can ask for.
 * @typedef {object} RowActions
 * @property {(key: string) => void} choose
 * @property {(key: string|null) => void} wouldStand  show where its way out would put things
 * @property {(key: string) => void} remedy
 * @property {(key: string) => void} decline
 * @property {(key: string) => void} reopen
 * @property {(what: 'why'|'settle', key: string, host: HTMLElement, shut: () => void) => void}
 *   below
 *
 * @typedef {object} PieceActions
 * @property {(dx: number, dy: number) => void} shift
 * @property {(angle: number) => void} face
 * @property {(fields: Partial<Piece>) => void} edit
 * @property {(host: string|null) => void} belong
 * @property {(text: string) => Promise<number>} length  mm; refuses with a sentence
 * @property {() => void} leave  back from the figures to the drawing
 *
 * What a press becomes. `begin` is called once the pointer has moved far enough to be a drag;
 * a press without that ends in `tap`.
 * @typedef {object} Grip
 * @property {(event: PointerEvent) => void} [begin]
 * @property {(event: PointerEvent, started: number) => void} [move]
 * @property {(event: PointerEvent) => void} [end]
 * @property {() => void} [cancel]
 * @property {(event: PointerEvent) => void} [tap]
 * @property {(event: KeyboardEvent) => boolean} [key]  a key while it is dragged; true: what was
 *   dragged is no longer the pointer's, and the grip itself ends it
 *
 * A drag that goes on by typing on a tape: what was typed first, and how it goes on and ends.
 * @typedef {object} Drawn
 * @property {string} begun
 * @property {(side: 'left'|'right'|'back'|'front', mm: number) => void} set
 * @property {() => void} keep
 * @property {() => void} cancel
 *
 * What the parts of the desk share.
 * @typedef {{store: Store, sync: Sync, viewport: Viewport, figure: Figure,
 *   library: Record<string, KitRow>, generic: string|null, tell: (text: string, busy?: boolean) => void,
 *   ghosts: {show: (all: {pose: Pose, size: Size, says: string}[], take?: (at: number) => void) => void,
 *     point: (at: number) => void}}} Shared
 *
 * What asks for points: `says` holds one line for each point. `take` may use a point at once;
 * `free` points do not come to rest on corners and edges; `again` starts over when all are there.
 * @typedef {object} Wanted
 * @property {string} name
 * @property {string[]} says
 * @property {(points: Point[]) => void} done
 * @property {(points: Point[], at: Point) => unknown} [show]
 * @property {(at: Point) => boolean} [take]
 * @property {() => void} [gone]
 * @property {boolean} [free]
 * @property {boolean} [again]
 *
 * A tool in the hand; a drag then pans, or draws a band.
 * @typedef {{press: (event: PointerEvent, drag: Grip) => Grip, band?: boolean}} Tool
 *
 * A chalk line across the room, upright at an x or level at a y.
 * @typedef {{id: string, way: 'x'|'y', at_mm: number}} ChalkLine
 *
 * @typedef {Shared & {typeOn: (tape: Element, drawn?: Drawn) => void,
 *   tool: Tool|null, figures: Figures}} Desk
 *
 * Boxes on the stage, in pixels, of figures that flags should not hide, and a word that they changed.
 * @typedef {{boxes: () => number[][], changed: () => void}} Figures
 *
 * @typedef {ReturnType<typeof import('./actions.js').actions>} Does
 *
 * A series of ways out: its steps in words, one command for all, what is worse then, and what
 * stays open.
 * @typedef {{revision: number, steps: string[], command: Command|null, stops_left: number,
 *   cares_left: number, price: string, ended_early: boolean}} Mending
 *
 * Where along one wall a station would stand best.
 * @typedef {{wall: string, sentence: string, stops: number, cares: number,
 *   poses: Record<string, Pose>}} Place
 *
 * One of several places to choose from: what would stand there, and what that costs in words.
 * @typedef {{pose: Pose, says: string, poses: Record<string, Pose>}} Spot
 *
 * @typedef {{width_mm: number, depth_mm: number, height_mm: number, type?: string}} Offer
 *
 * @typedef {{sentence: string, place: Pose|null, fits?: boolean, carried_by?: string}} Reply
 *
 * A gauge: parts of its length from 0 to 1, and its two captions.
 * @typedef {{has: number, mark: number|null, need: number|null, torn: boolean, left: string,
 *   right: string}} Gauge
 *
 * @typedef {{group: SVGElement, reach: SVGElement, strip: SVGElement, hook: SVGElement,
 *   plate: SVGElement, text: SVGElement}} Tape
 *
 * @typedef {{group: SVGElement, pole: SVGElement, head: SVGElement, number: SVGElement,
 *   severity: string, choice: number}} Flag
 *
 * A wall's free face, with the normal that points into the room.
 * @typedef {{a: Point, b: Point, nx: number, ny: number}} Face
 */

export {};
