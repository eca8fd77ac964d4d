/** Runs the seeds that the server process names, one after the other, and reports on each. */
import { layGround, layStreams } from "./ground";
import { ask } from "./link";
import { layPrimitives } from "./primitives";
import { type Base, Simulation } from "./simulation";
import { layStorage } from "./storage";

interface Run {
  seed: number;
  keep: number[] | null;
  without: number[];
  say: boolean;
}

layStorage();
layGround();
layStreams();
layPrimitives();
// A page that was killed leaves promises behind that nobody looks at.
process.on("unhandledRejection", () => undefined);

const base = ask<Base>("base");
for (;;) {
  const run = ask<Run | Record<string, never>>("next");
  if (!("seed" in run)) break;
  const { seed, keep, without, say } = run as Run;
  const log = (line: string) => process.stderr.write(`${line}\n`);
  const simulation = new Simulation(base, seed, without, say ? log : null);
  const report = await simulation.run(keep === null ? null : new Set(keep));
  ask("report", { report });
}
