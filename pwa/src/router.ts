/**
 * The hash router: which screen an address means, and going there.
 * An address holds ids only, never a name or anything about health.
 */
import type { Component } from "svelte";
import { on } from "svelte/events";
import { createSubscriber } from "svelte/reactivity";

export type Params = Readonly<Record<string, string>>;
export type Screen = Component<{ params: Params }>;
export interface Route {
  path: string;
  /** `never`, because some screens take nothing of the address and so no props. */
  load: () => Promise<{ default: Component<never> }>;
}
export interface Match<R extends Route = Route> {
  route: R;
  params: Params;
}

export function match<R extends Route>(routes: readonly R[], address: string): Match<R> | null {
  const steps = split(address);
  for (const route of routes) {
    const params = fit(split(route.path), steps);
    if (params) return { route, params };
  }
  return null;
}

function split(path: string): string[] {
  return path.replace(/^#/, "").split("/").filter(Boolean);
}

function fit(pattern: string[], steps: string[]): Params | null {
  if (pattern.length !== steps.length) return null;
  const params: Record<string, string> = {};
  for (const [at, part] of pattern.entries()) {
    const step = steps[at] ?? "";
    if (part.startsWith(":")) params[part.slice(1)] = step;
    else if (part !== step) return null;
  }
  return params;
}

const follow = createSubscriber((update) => on(window, "hashchange", update));

/** The present address; a screen that reads it is drawn again when it changes. */
export function here(): string {
  follow();
  return location.hash || "#/today";
}

export function go(path: string): void {
  location.hash = path;
}

/** Go there without leaving the present screen in the back list. */
export function swap(path: string): void {
  location.replace(`#${path}`);
}
