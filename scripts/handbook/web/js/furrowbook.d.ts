/** The one global name of the page's scripts, and what each of them puts into it. */

interface Figure {
    si: number | null;
    shown: string;
    /** How far it may be off, where that is known of what was measured; null where it cannot be told. */
    give_or_take?: { si: number; shown: string } | null;
}
type Cell = Figure | string | null;

interface Reply {
    ok: true;
    used: Record<string, Cell | Record<string, Cell>[]>;
    results: Record<string, Cell>;
    tables: { id: string; title: string; columns: { id: string; title: string }[]; rows: Cell[][] }[];
    charts: { id: string; title: string; description: string; svg: string }[];
    notes: { level: string; code: string; text: string }[];
}
interface Refused {
    ok: false;
    errors: { field: string; code: string; problem: string }[];
}
interface Output {
    name: string;
    title: string;
    main: boolean;
    absent: string;
}
/** What the page says by itself; `levels` are the words that begin a note. */
interface Words {
    levels: Record<string, string>;
    answer: string;
    getting_ready: string;
    no_engine: string;
    broke: string;
    retry: string;
    working: string;
    no_match: string;
    give_or_take: string;
    not_counted: string;
}
type GivenRow = Record<string, string>;
type Given = Record<string, string | GivenRow[]>;

/** The reader's units: one of metric, us, imperial, and another for single kinds: `us,speed=metric`. */
interface ReadersUnits extends EventTarget {
    readonly text: string;
    system(kind?: string): string;
    set(text: string): void;
    onchange: ((text: string) => void) | null;
}

/** Python in the page. */
interface PageEngine extends EventTarget {
    readonly state: "idle" | "loading" | "ready" | "failed";
    readonly problem: { sentence: string } | null;
    /** Whether it neither comes up nor has anything to work out; a `quiet` event tells when that begins. */
    readonly quiet: boolean;
    start(): void;
    retry(): void;
    /** Starts it if nobody has, and resolves once it can be asked. */
    up(): Promise<void>;
    ask(request: string): Promise<string>;
    rehearse(request: string): Promise<void>;
}

interface FormField {
    readonly root: HTMLElement;
    readonly control: HTMLInputElement | HTMLSelectElement;
    readonly key: string;
    readonly title: string;
    /** Whether there is a place for a give or take, and whether one is written in it. */
    readonly takesGive: boolean;
    readonly giving: boolean;
    /** Its name in its row, and the row's place from 1; the key and 0 where it stands in no row. */
    readonly name: string;
    readonly place: number;
    readonly empty: boolean;
    readonly written: string | null;
    readonly onlyWith: Record<string, string[]>;
    readonly chosen: string;
    show(hasPlace: boolean): void;
    fill(text: string): void;
    refresh(): void;
    useUnits(): void;
    copyUnit(other: FormField): void;
    say(problem: string): void;
    rename(key: string, id: string): void;
}
interface FormRows {
    readonly root: HTMLElement;
    readonly name: string;
    readonly title: string;
    readonly error: HTMLElement;
    readonly fields: FormField[];
    readonly places: RowPlace[];
    /** How many rows the form opened with. */
    readonly initial: number;
    titleOf(field: FormField): string;
    add(): HTMLElement | null;
    remove(inside: Element): HTMLElement | null;
    resize(count: number): void;
    written(): { rows: GivenRow[]; standing: number[] };
    everything(): GivenRow[];
    refresh(): void;
}
/** Where in a form a path of a request stands, and its name in words. */
interface Place {
    field: FormField | null;
    rows: FormRows | null;
    where: string;
}
type Places = Map<string, Place>;
interface WholeForm {
    readonly fields: FormField[];
    readonly filled: FormField[];
    fieldOf(target: EventTarget | null): FormField | null;
    rowsOf(target: Element): FormRows | null;
    askForGive(): void;
    fill(handed: Record<string, Handed>): FormField[];
    fillRow(rows: string, handed: Record<string, Handed>, place: number): FormField[];
    rowsNamed(rows: string): RowPlace[];
    refresh(): void;
    useUnits(): void;
    replace(given: Given): void;
    everything(): Given;
    collect(): { given: Given; places: Places };
}
/** Something wrong, in a field, in rows as a whole, or (both null) in the whole request. */
interface Trouble extends Place {
    problem: string;
}
interface TroubleList {
    show(troubles: Trouble[]): void;
    announce(troubles: Trouble[]): void;
}
interface KeptForm {
    take(): Given | null;
    put(written: Given): void;
}
interface AnswerPanel {
    readonly standing: boolean;
    show(reply: Reply): void;
    mark(words: string): void;
    say(words: string): void;
    hide(): void;
}

/** A row of a form: its place from 1, the name the reader gave it, and what to call it. */
interface RowPlace {
    place: number;
    name: string;
    title: string;
    empty: boolean;
}

/** A figure handed on, as it was shown, and what it may be off by. */
interface Handed {
    text: string;
    give?: string;
}
/** A calculator that readers go on to, and where in a reply the figures for its form stand. */
interface Way {
    id: string;
    title: string;
    fields: Record<string, string[]>;
    rows: { name: string; each: string | null; columns: Record<string, string[]> } | null;
}
/** What goes into a form: single fields, whole rows of the list `rows`, or the columns of one row of it. */
interface HandedOver {
    from: string;
    fields: Record<string, Handed>;
    rows: string;
    each: Record<string, Handed>[];
    one: Record<string, Handed>;
}
interface WayOn {
    offer(reply: Reply | null): void;
    wait(): void;
}
interface TakenFigures {
    show(over: HandedOver): void;
    hide(): void;
    forget(field: FormField | null): void;
}

/** A problem of a page's practice: how often it is asked in a round, and whether it is about safety. */
interface PracticeQuestion {
    id: string;
    times: number;
    safety: boolean;
}
/** What is kept of a page's practice: the first answers of a round, and the days from 1970-01-01 as text. */
interface PracticePage {
    round: Record<string, boolean[]>;
    passed: boolean | null;
    stage: number;
    due: string;
}
interface PracticeRecord {
    format: number;
    season: string;
    pages: Record<string, PracticePage>;
}
interface PracticeReply {
    ok: true;
    shown: Record<string, string>;
    right?: boolean;
    says?: string;
    working?: { title: string; shown: string }[];
}
interface PracticeCount {
    answers(id: string): boolean[];
    readonly asked: number;
    readonly answered: number;
    readonly right: number;
    readonly passed: boolean | null;
    readonly due: string;
    readonly isDue: boolean;
    count(id: string, right: boolean): void;
    again(): void;
}

/** The machine that the reader has chosen. */
interface ChosenMachine {
    id: string;
    name: string;
}
/** What a machine says to one calculator, and by the names of its tanks what only that tank says. */
interface MachineFigures {
    shared: Given;
    tanks: Record<string, Given>;
}
interface SheetForm {
    readonly possible: boolean;
    show(name: string, address: string, figures: MachineFigures): void;
    hide(): void;
}

interface OpenCalculator {
    readonly id: string;
    readonly open: boolean;
    openWith(name: string, address: string, figures: MachineFigures): void;
    /** What a reader is in the middle of here: a change of the book must wait for it. */
    readonly occupied: boolean;
    takeOver(over: HandedOver): void;
}

/** How the book stands on this device. */
interface OfflineState {
    phase:
        | "looking" // nothing is known yet
        | "folder" // opened from a folder, which needs nothing
        | "unable" // the browser keeps nothing from this address
        | "declined" // the reader had it taken away
        | "unstored" // not, or not yet; `trouble` says why
        | "storing"
        | "stored"
        | "newer" // stored, and so is another build that waits
        | "outdated"; // this very page is of a build that is no longer in use
    using: StoredBuild | null;
    waiting: StoredBuild | null;
    storing: { done: number; bytes: number } | null;
    trouble: import("../offline/messages").Told | null;
    /** Who kept the newest from taking over when it was last asked to. */
    held: string[];
}
type StoredBuild = import("../offline/messages").StoredBuild;
interface OfflineBook extends EventTarget {
    readonly state: OfflineState;
    /** What the reader is in the middle of on this page; empty if nothing. */
    readonly occupation: string;
    /** Whether the browser has promised to keep what is stored; null if it does not say. */
    promised(): Promise<boolean | null>;
    begin(): void;
    store(): void;
    use(): void;
    forget(): void;
    promise(): Promise<void>;
}
interface OfflineWords {
    /** One or two words for the bar. */
    short(state: OfflineState): string;
    /** What there is to say, a sentence each. */
    sentences(state: OfflineState, occupation: string): string[];
    /** What went wrong, where that is worth saying. */
    trouble(state: OfflineState): string[];
    held(by: string[]): string[];
    buttons: Record<"again" | "store" | "use" | "later" | "renew" | "promise" | "forget" | "install", string>;
    promised(kept: boolean): string;
}

/** An entry of the record, as `calc/record/kinds.py` declares it. */
interface Entry {
    id: string;
    kind: string;
    when: string;
    who: string;
    build: string;
    [field: string]: any;
}
interface EntryFields {
    kind: string;
    [field: string]: any;
}
interface EntryError {
    field: string;
    problem: string;
}
/** How an entry stands in the browser's database: its one text, and what it is looked for by. */
interface KeptEntry {
    id: string;
    kind: string;
    when: string;
    job: string;
    page: string;
    text: string;
}
/** A place that holds entries and photos. */
interface PlaceOfRecord {
    add(entries: KeptEntry[]): Promise<number>;
    all(index?: string, value?: string): Promise<KeptEntry[]>;
    count(): Promise<number>;
    after(last: number): Promise<{ entries: KeptEntry[]; last: number }>;
    last(): Promise<number>;
    addPhoto(id: string, blob: Blob): Promise<void>;
    photo(id: string): Promise<Blob | null>;
}
interface RecordOfDevice extends EventTarget {
    readonly trouble: string;
    readonly lasting: boolean;
    readonly open: boolean;
    readonly exported: string;
    readonly build: string;
    add(fields: EntryFields): Promise<Entry>;
    addAll(several: EntryFields[]): Promise<void>;
    problems(fields: EntryFields): Promise<EntryError[]>;
    addTexts(texts: string[]): Promise<number>;
    entries(index?: "job" | "kind", value?: string): Promise<Entry[]>;
    texts(): Promise<string[]>;
    count(): Promise<number>;
    last(): Promise<number>;
    after(last: number): Promise<{ entries: Entry[]; last: number }>;
    addPhoto(blob: Blob): Promise<string>;
    photo(id: string): Promise<Blob | null>;
    ask(request: object): Promise<any>;
    noteExport(): void;
    newId(): string;
}
/** An answer that stands: what was given, and what came of it. */
interface StandingAnswer {
    given: Given;
    results: Record<string, Cell>;
}
interface CurrentJob {
    job: string;
    who: string;
    second: string;
}
/** How a job stands: the entries that were not taken back, and the temporary changes that are open. */
interface JobStanding {
    valid: Entry[];
    undone: Set<string>;
    changes: Entry[];
    begun: Entry | null;
}
interface JobOfReader extends EventTarget {
    readonly current: CurrentJob | null;
    readonly standing: JobStanding;
    readonly common: { job: string; who: string; second?: string };
    choose(job: CurrentJob | null): Promise<void>;
    readonly settled: Promise<void>;
    refresh(): Promise<void>;
    standingOf(entries: Entry[]): JobStanding;
    takenBack(entry: Entry, valid: Entry[]): string[];
}
/** A value that a step asks for, and the step or hazard that it stands in. */
interface FoundValue {
    readonly root: HTMLElement;
    readonly what: string;
    readonly limits: { low: string; high: string };
    readonly within: string;
    readonly fields: FormField[];
    wipe(): void;
}
interface FoundItem {
    readonly root: HTMLElement;
    readonly key: string;
    readonly hazard: boolean;
    readonly part: string;
    readonly says: string;
    readonly values: FoundValue[];
    readonly calculators: string[];
    readonly opens: string[];
    readonly closes: string[];
}
/** What can be kept of a step beside that it is done; `lacking` is told what is missing. */
interface Besides {
    note(words: string): void;
    skip(words: string): void;
    photo(file: File | null): void;
    lacking(words: string): void;
}
interface EntryForm {
    readonly form: HTMLFormElement;
    readonly values: Record<string, string>;
    fill(values: Record<string, string>): void;
    show(errors: EntryError[]): void;
}
interface HandSigned {
    readonly name: string;
    value: string;
    onchange: () => void;
}
interface FoundSeries {
    title: string;
    points: { when: string; shown: string; lot: string }[];
    svg: string;
}
interface SkillPerson {
    name: string;
    level: string;
    may: string;
    date: string;
    evaluator: string;
    until: string;
    lapsed: boolean;
}
interface SkillWork {
    page: string;
    title: string;
    apart: string;
    people: SkillPerson[];
}

/** What is used of `idb`, which is a script of its own before ours. */
interface OpenDatabase {
    count(store: string): Promise<number>;
    transaction(store: string, mode: "readonly" | "readwrite", options?: { durability: "strict" }): {
        store: {
            index(name: string): { getAll(value: string): Promise<KeptEntry[]> };
            getAll(range: IDBKeyRange): Promise<KeptEntry[]>;
            getAllKeys(range: IDBKeyRange): Promise<number[]>;
            openKeyCursor(range: null, direction: "prev"): Promise<{ key: IDBValidKey } | null>;
            add(value: object): Promise<unknown>;
            put(value: object): Promise<unknown>;
        };
        done: Promise<void>;
    };
    getAll(store: string): Promise<any[]>;
    getAllFromIndex(store: string, index: string, value?: string): Promise<any[]>;
    get(store: string, key: string): Promise<any>;
}
interface DatabaseCallbacks {
    upgrade(made: IDBDatabase): void;
    blocking(now: number, next: number | null, event: IDBVersionChangeEvent): void;
    terminated(): void;
}
declare const idb: {
    openDB(name: string, version?: number, callbacks?: DatabaseCallbacks): Promise<OpenDatabase>;
};

interface Furrowbook {
    offline: OfflineBook;
    offlineWords: OfflineWords;
    units: ReadersUnits;
    engine?: PageEngine;
    results: { render(reply: Reply, outputs: Output[], words: Words): HTMLElement; picture(svg: string): HTMLElement };
    Field: new (root: HTMLElement) => FormField;
    Rows: new (root: HTMLElement, words: Words) => FormRows;
    Form: new (root: HTMLElement, words: Words) => WholeForm;
    Kept: new (section: HTMLElement) => KeptForm;
    Troubles: new (form: HTMLElement) => TroubleList;
    Answer: new (section: HTMLElement, outputs: Output[], words: Words) => AnswerPanel;
    Onward: { new (section: HTMLElement): WayOn; take(id: string): HandedOver | null };
    TakenOver: new (section: HTMLElement, form: WholeForm, filled: () => void) => TakenFigures;
    SheetFigures: new (section: HTMLElement, fill: (given: Given) => void) => SheetForm;
    /** The reader's machine; a `furrowbook-machine` event on the window tells of a change. */
    machine?: ChosenMachine | null;
    /** Put there by the script of figures of a machine. */
    machines?: Record<string, { calculators: Record<string, MachineFigures> }>;
    PracticeScore: {
        new (page: string, questions: PracticeQuestion[]): PracticeCount;
        readonly season: string;
        setSeason(season: string): void;
    };
    inWords(date: string): string;
    /** The day by the reader's own clock, like 2027-04-30. */
    today(): string;
    EngineLine: new (line: HTMLElement, words: Words) => object;
    calculators: OpenCalculator[];
    record: RecordOfDevice;
    Unkept: new (message: string) => Error;
    Wrong: new (errors: EntryError[]) => Error & { errors: EntryError[] };
    job: JobOfReader;
    JobForm: new (place: HTMLElement, people: number, begun: () => void) => { open(): Promise<void> };
    keptLine(entry: Entry, takeBack: () => void): HTMLElement | "";
    besides(ways: Besides): HTMLElement;
    places: { Memory: new () => PlaceOfRecord; Database: new (database: OpenDatabase) => PlaceOfRecord };
    shrunk(file: File): Promise<Blob | null>;
    WorkItem: new (root: HTMLElement, part: string) => FoundItem;
    elements: {
        made(name: string, text?: string, className?: string): HTMLElement;
        key(words: string, press: () => void, more?: string): HTMLButtonElement;
        tableOf(heads: string[], rows: string[][]): HTMLTableElement;
        clock(when: string): string;
        filled(fields: Record<string, any>): EntryFields;
    };
    PlainForm: new (form: HTMLFormElement) => EntryForm;
    Signature: new (root: HTMLElement) => HandSigned;
}

interface Window {
    furrowbook: Furrowbook;
}
