/** Starts the app: mounts the shell. Decides nothing else. */
import { mount } from "svelte";

import App from "./routes/App.svelte";

const target = document.getElementById("app");
if (target === null) throw new Error("index.html has no #app");

mount(App, { target });
