/**
 * What the phones run on: tasks, timers and time, all under the scheduler. Nothing moves by itself: a task
 * of IndexedDB waits in the queue of its phone, and a timer until its time is made to come.
 */
import { gzipSync } from "node:zlib";

export interface Runner {
  readonly tasks: Task[];
}

/** A page that runs on a phone. A dead one was killed: what is left of its promises changes nothing. */
export interface Page {
  readonly phone: Runner;
  alive: boolean;
}

interface Task {
  page: Page | null;
  run: () => void;
}

export interface Timer {
  at: number;
  page: Page | null;
  run: () => void;
}

const nativeImmediate = globalThis.setImmediate;

class Ground {
  /** Milliseconds since 1970 of true time. */
  now = 0;
  /** Whose code runs just now. */
  page: Page | null = null;
  timers: Timer[] = [];
  readonly nobody: Runner = { tasks: [] };

  /** Streams that are being read; Node turns its loop over a few times for each. */
  reading = 0;

  /** Promises that can go on do so, until all of them wait for something outside. */
  async settle(): Promise<void> {
    do await new Promise<void>((done) => nativeImmediate(done));
    while (this.reading > 0);
  }

  /** Runs code of a page, and what follows from it at once. */
  async as(page: Page | null, run: () => void): Promise<void> {
    this.page = page;
    run();
    await this.settle();
  }

  /** Runs at most so many tasks of a phone. `before` may kill the phone. */
  async runTasks(
    phone: Runner,
    most: number,
    before: () => void,
  ): Promise<void> {
    for (let done = 0; done < most; done += 1) {
      const task = phone.tasks.shift();
      if (task === undefined) return;
      before();
      await this.as(task.page, task.run);
    }
  }

  queue(run: () => void): void {
    (this.page?.phone ?? this.nobody).tasks.push({ page: this.page, run });
  }

  later(run: () => void, milliseconds: number): Timer {
    const timer = { at: this.now + milliseconds, page: this.page, run };
    this.timers.push(timer);
    return timer;
  }

  cancel(timer: unknown): void {
    this.timers = this.timers.filter((other) => other !== timer);
  }

  /** Those of dead pages are gone. The earliest comes first; of equals, the one that was set first. */
  nextTimer(): Timer | null {
    this.timers = this.timers.filter(({ page }) => page?.alive !== false);
    return this.timers.reduce<Timer | null>(
      (first, timer) => (first === null || timer.at < first.at ? timer : first),
      null,
    );
  }

  async fire(timer: Timer): Promise<void> {
    this.cancel(timer);
    this.now = Math.max(this.now, timer.at);
    await this.as(timer.page, timer.run);
  }

  reset(now: number): void {
    this.now = now;
    this.timers = [];
    this.nobody.tasks.length = 0;
    this.page = null;
  }
}

export const ground = new Ground();

export function layGround(): void {
  const own: Record<string, unknown> = {
    setImmediate: (run: () => void) => {
      ground.queue(run);
    },
    setTimeout: (run: () => void, milliseconds = 0) =>
      ground.later(run, milliseconds),
    clearTimeout: (timer: unknown) => {
      ground.cancel(timer);
    },
  };
  Object.assign(globalThis, own);
  AbortSignal.timeout = (milliseconds) => {
    const controller = new AbortController();
    const timer = ground.later(() => {
      controller.abort(new DOMException("timed out", "TimeoutError"));
    }, milliseconds);
    timeouts.set(controller.signal, timer);
    return controller.signal;
  };
}

/** Makes a method that reads a stream tell of it, and pack with no thread of its own. */
export function layStreams(): void {
  watchReading(Blob.prototype, "text");
  watchReading(Blob.prototype, "arrayBuffer");
  watchReading(Response.prototype, "blob");
  watchReading(Response.prototype, "json");
  Object.assign(globalThis, { CompressionStream: PackedAtOnce });
}

function watchReading<K extends string>(
  type: Record<K, (this: unknown) => Promise<unknown>>,
  name: K,
): void {
  const read = type[name];
  type[name] = async function (this: unknown) {
    ground.reading += 1;
    try {
      return await read.call(this);
    } finally {
      ground.reading -= 1;
    }
  };
}

class PackedAtOnce {
  readonly readable: ReadableStream<Uint8Array>;
  readonly writable: WritableStream<Uint8Array>;

  constructor() {
    const parts: Uint8Array[] = [];
    const { readable, writable } = new TransformStream<Uint8Array, Uint8Array>({
      transform: (part) => {
        parts.push(part);
      },
      flush: (out) => {
        out.enqueue(new Uint8Array(gzipSync(Buffer.concat(parts))));
      },
    });
    this.readable = readable;
    this.writable = writable;
  }
}

const timeouts = new WeakMap<AbortSignal, Timer>();

/** What it limited is over: it must not count as something that still happens. */
export function endTimeout(signal: AbortSignal | null | undefined): void {
  if (signal) ground.cancel(timeouts.get(signal));
}
