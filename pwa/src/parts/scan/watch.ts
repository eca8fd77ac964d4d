/** Shows the rear camera and tells each code that comes into sight. The camera is let go with the screen. */
import { onceInSight } from "./once";
import { openReader } from "./reader";

export type CameraTrouble = "no_camera" | "not_allowed" | "busy" | "no_reader";
export type CameraState = "starting" | "on" | CameraTrouble;

const BETWEEN_LOOKS_MS = 120;
const TROUBLE: Readonly<Record<string, CameraTrouble>> = {
  NotAllowedError: "not_allowed",
  SecurityError: "not_allowed",
  NotFoundError: "no_camera",
  OverconstrainedError: "no_camera",
};

interface Told {
  /** `light` is given where the camera has a lamp. */
  state: (state: CameraState, light?: (on: boolean) => void) => void;
  code: (text: string) => void;
}

/** Returns what ends it. While the page is hidden the camera is off, and opened again afterwards. */
export function watch(video: HTMLVideoElement, told: Told): () => void {
  let end: (() => void) | null = null;

  function follow() {
    end?.();
    end = document.visibilityState === "visible" ? look(video, told) : null;
  }
  follow();
  document.addEventListener("visibilitychange", follow);
  return () => {
    document.removeEventListener("visibilitychange", follow);
    end?.();
  };
}

function look(video: HTMLVideoElement, told: Told): () => void {
  let ended = false;
  let stream: MediaStream | null = null;

  function end() {
    ended = true;
    for (const track of stream?.getTracks() ?? []) track.stop();
    // By now another look may show its own.
    if (video.srcObject === stream) video.srcObject = null;
  }

  function trouble(state: CameraTrouble) {
    if (ended) return;
    end();
    told.state(state);
  }

  async function run() {
    const camera = await opened();
    if (typeof camera === "string") {
      trouble(camera);
      return;
    }
    stream = camera;
    if (ended) {
      end();
      return;
    }
    for (const track of camera.getTracks())
      track.addEventListener("ended", () => {
        trouble("busy");
      });
    video.srcObject = camera;
    told.state("on", lamp(camera));
    await read().catch(() => {
      trouble("no_reader");
    });
  }

  async function read() {
    const find = await openReader();
    const fresh = onceInSight();
    const goesOn = () => !ended;
    while (goesOn()) {
      const seen = video.readyState >= video.HAVE_CURRENT_DATA ? await find(video) : null;
      const code = fresh(seen, performance.now());
      if (code !== null && goesOn()) told.code(code);
      await new Promise((done) => setTimeout(done, BETWEEN_LOOKS_MS));
    }
  }

  told.state("starting");
  void run();
  return end;
}

async function opened(): Promise<MediaStream | CameraTrouble> {
  // A page that did not come over a safe connection has no such thing.
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  if (devices === undefined) return "no_camera";
  try {
    const wanted = { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } };
    return await devices.getUserMedia({ video: wanted });
  } catch (error) {
    return (error instanceof DOMException ? TROUBLE[error.name] : undefined) ?? "busy";
  }
}

/** W3C Image Capture, which TypeScript does not know; not every browser can be asked. */
interface Asked {
  getCapabilities?: () => { torch?: boolean };
}

function lamp(stream: MediaStream): ((on: boolean) => void) | undefined {
  const [track] = stream.getVideoTracks();
  const asked = track as Asked | undefined;
  if (track === undefined || asked?.getCapabilities?.().torch !== true) return undefined;
  return (on) => {
    void track.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] });
  };
}
