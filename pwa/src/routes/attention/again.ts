/**
 * Brings what was typed into a refused command back onto the screen it was typed on.
 * Says which draft that screen reads, what stands in it, and where the screen is.
 */
import type { CommandArgs, CommandName } from "../../domain/commands";
import { cardOf } from "../client/card-form";
import { blankConsent } from "../consent/form";
import { blankFeet } from "../foot-check/form";
import { blankScreen } from "../health-screen/form";
import { blankVisit } from "../visit/form";

export interface Again {
  draft: string;
  value: object;
  to: string;
}

type Back<N extends CommandName> = (args: CommandArgs[N]) => Again;

const BACK: { [N in CommandName]?: Back<N> } = {
  register_client: (args) => ({
    draft: "card/new",
    value: { card: cardOf(args), began: null },
    to: "/clients/new",
  }),
  record_screen: ({ client, answers, answered_by, answered_by_name }) => ({
    draft: `screen/${client}`,
    value: { ...blankScreen(), answers, answered_by, answered_by_name, begun: true },
    to: `/client/${client}/screen`,
  }),
  record_foot_check: ({ client, answers, findings }) => ({
    draft: `feet/${client}`,
    value: { ...blankFeet(), answers, findings },
    to: `/client/${client}/feet`,
  }),
  sign_consent: ({ client, signer_name, signer_role, authority, presented, own_wish }) => ({
    draft: `consent/${client}`,
    value: { ...blankConsent(), signer_name, signer_role, authority, presented, own_wish },
    to: `/client/${client}/consent`,
  }),
  record_referral_answer: ({ referral, ...value }) => ({
    draft: `answer/${referral}`,
    value,
    to: `/referral/${referral}/answer`,
  }),
  record_clearance: ({
    client,
    clinician,
    clinician_role,
    given_on,
    expires_on,
    covers,
    scope,
  }) => ({
    draft: `clearance/${client}`,
    value: { clinician, clinician_role, given_on, expires_on, covers, scope },
    to: `/client/${client}/clearance`,
  }),
  book_visit: ({ client, minutes, staff }) => ({
    draft: `book/${client}`,
    value: { minutes, staff },
    to: `/client/${client}/book`,
  }),
  complete_visit: ({ booking, client, ended_at, ...kept }) => ({
    draft: `visit/${booking}`,
    value: { ...blankVisit(), ...kept },
    to: `/booking/${booking}/sign-off`,
  }),
};

/** Null for a command that no form is typed into: a move, a cancellation, a change of rights. */
export function backTo(name: CommandName, args: Record<string, unknown>): Again | null {
  const back = BACK[name] as ((args: Record<string, unknown>) => Again) | undefined;
  return back ? back(args) : null;
}
