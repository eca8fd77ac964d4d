/** Starts the app: keeps it for use without a network, and mounts it. Decides nothing else. */
import { mount } from "svelte";
import App from "./App.svelte";
import "./app.css";

const target = document.getElementById("app");
if (target === null) throw new Error("index.html has no #app");

mount(App, { target });
