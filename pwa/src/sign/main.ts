/** Starts the page on which a client signs on their own phone. It has no account, and shares nothing with the app. */
import { mount } from "svelte";

import "../app.css";
import SignPage from "./SignPage.svelte";

const target = document.getElementById("page");
if (target === null) throw new Error("sign.html has no #page");

target.replaceChildren();
mount(SignPage, { target });
