/** What a client's own phone asks the server. It has no account: the secret of its link lets it in. */
import { type Call, ours, send } from "./call";
import type { SigningAnswer, SigningSheet } from "./types";

/** Whose phone it is: the secret of the link, and one that this phone made when it opened the link. */
export interface LinkHolder {
  token: string;
  phone: string;
}

export interface SigningHttp {
  /** Binds the link to the first phone that opens it. */
  open(as: LinkHolder): Promise<SigningSheet>;
  /** The same again is the same answer. Tells whether it counts: a yes by a link that has ended does not. */
  done(as: LinkHolder, answer: SigningAnswer): Promise<boolean>;
}

export function openSigningHttp(fetcher: typeof fetch, base: string): SigningHttp {
  const post = async <T>(path: string, body: unknown) => {
    const call: Call = { method: "POST", body };
    return ours<T>(await send(fetcher, base + path, call));
  };
  return {
    open: (as) => post<SigningSheet>("/api/sign/open", as),
    done: async (as, answer) => {
      // A server of before does not say.
      const { counts } = await post<{ counts?: boolean }>("/api/sign/done", { ...as, ...answer });
      return counts ?? true;
    },
  };
}
