/** What whoever signs reads on their own phone, around what signing.ts has, in the same languages. */
const en = {
  page: "Care of the feet: yes or no",
  wait: "One moment",
  opening: "The page is being opened.",
  no_line: "There is no internet",
  no_line_means: "This page tries again by itself. You can leave it open.",
  not_yet: "Not ready yet",
  not_yet_means:
    "Your technician's phone has not sent this link yet. This page tries again by itself.",
  not_yet_wrong: "Or a letter in the link is wrong: scan it again.",
  not_yet_still: "If it stays like this, tell your technician.",
  unknown: "This link is not known",
  unknown_means: "It may be mistyped. Scan the code again, or ask your technician for a new link.",
  unknown_signal: "Or your technician's phone has no signal. This page still tries by itself.",
  trouble: "It did not work yet",
  trouble_means: "This page tries again by itself. You can also sign on your technician's phone.",
  now: "Try now",
  part: "A part of the link is missing",
  part_means: "Scan the code again. Or ask your technician to send you the link again.",
  over: "This link is over",
  over_means: "Ask your technician for a new one. Or sign on their phone.",
  taken: "The link is in use on another phone",
  taken_means:
    "A link works on one phone only: the first one that opens it. Ask your technician for a new link. Or sign on their phone.",
  answered: "This link was answered",
  answered_means: "There is nothing more to do. You can close this page.",
  answered_not_you: "If it was not you, tell your technician now.",
  late: "Your answers came too late",
  late_means:
    "They could not be sent in time. Ask your technician for a new link. Or sign on their phone.",
  refused: "Your answers could not be sent",
  refused_open: "This link can't be opened here",
  refused_means: "Please sign on your technician's phone.",
  hello: "Are you {name}?",
  hello_means: "Your foot care technician asks you to read some short texts: {count}.",
  hello_from: "This page is from {technician}, {practice}.",
  hello_for: "You decide for {client}.",
  hello_right: "By what right: {right}",
  hello_choose: "You say yes or no to each. A no is fine. You can stop at any time.",
  hello_send: "Nothing is sent before you are done.",
  hello_not: "If this is not you, close this page and tell the technician.",
  start: "Yes, start",
  guardian: "guardian",
  health_attorney: "power of attorney for health",
  facility_record: "as the records of the home say",
  other: "other",
  kept: "Kept on this phone, being sent",
  kept_means: "Your answers are on this phone. This page sends them. Please leave it open.",
  kept_later: "If you close it, open the same link again later.",
  not_kept: "Being sent",
  not_kept_means: "This phone can't keep your answers. Leave the page open until it says Done.",
  sent_no_line: "There is no internet now. They go out by themselves when it is back.",
  done: "Done, you can close this page",
  done_means: "Your answers have come in. Thank you.",
  done_gone: "They are no longer on this phone.",
};

export type OwnPhoneWord = keyof typeof en;
type Words = Record<OwnPhoneWord, string>;

const es: Words = {
  page: "Cuidado de los pies: sí o no",
  wait: "Un momento",
  opening: "La página se está abriendo.",
  no_line: "No hay internet",
  no_line_means: "Esta página lo intenta de nuevo sola. Puede dejarla abierta.",
  not_yet: "Todavía no está listo",
  not_yet_means:
    "El teléfono de su técnico todavía no ha enviado este enlace. Esta página lo intenta de nuevo sola.",
  not_yet_wrong: "O una letra del enlace está mal: escanéelo otra vez.",
  not_yet_still: "Si sigue así, avise a su técnico.",
  unknown: "No se conoce este enlace",
  unknown_means:
    "Puede estar mal escrito. Escanee el código otra vez, o pida un enlace nuevo a su técnico.",
  unknown_signal:
    "O el teléfono de su técnico no tiene señal. Esta página lo sigue intentando sola.",
  trouble: "Todavía no funcionó",
  trouble_means:
    "Esta página lo intenta de nuevo sola. También puede firmar en el teléfono de su técnico.",
  now: "Intentar ahora",
  part: "Falta una parte del enlace",
  part_means: "Escanee el código otra vez. O pida a su técnico que le envíe el enlace de nuevo.",
  over: "Este enlace ya no vale",
  over_means: "Pida uno nuevo a su técnico. O firme en su teléfono.",
  taken: "El enlace se usa en otro teléfono",
  taken_means:
    "Un enlace funciona en un solo teléfono: el primero que lo abre. Pida un enlace nuevo a su técnico. O firme en su teléfono.",
  answered: "Este enlace ya tiene respuesta",
  answered_means: "No hay nada más que hacer. Puede cerrar esta página.",
  answered_not_you: "Si no fue usted, avise ahora a su técnico.",
  late: "Sus respuestas llegaron tarde",
  late_means:
    "No se pudieron enviar a tiempo. Pida un enlace nuevo a su técnico. O firme en su teléfono.",
  refused: "Sus respuestas no se pudieron enviar",
  refused_open: "Este enlace no se puede abrir aquí",
  refused_means: "Por favor, firme en el teléfono de su técnico.",
  hello: "¿Usted es {name}?",
  hello_means: "Su técnico del cuidado de los pies le pide que lea unos textos cortos: {count}.",
  hello_from: "Esta página es de {technician}, {practice}.",
  hello_for: "Usted decide por {client}.",
  hello_right: "Con qué derecho: {right}",
  hello_choose: "A cada uno dice sí o no. Puede decir que no. Puede parar cuando quiera.",
  hello_send: "No se envía nada hasta el final.",
  hello_not: "Si no es usted, cierre esta página y avise al técnico.",
  start: "Sí, empezar",
  guardian: "tutela",
  health_attorney: "poder notarial para la salud",
  facility_record: "según los registros de la residencia",
  other: "otro",
  kept: "Guardado en este teléfono, se está enviando",
  kept_means:
    "Sus respuestas están en este teléfono. Esta página las envía. Por favor, déjela abierta.",
  kept_later: "Si la cierra, abra el mismo enlace más tarde.",
  not_kept: "Se está enviando",
  not_kept_means:
    "Este teléfono no puede guardar sus respuestas. Deje la página abierta hasta que diga Listo.",
  sent_no_line: "Ahora no hay internet. Se envían solas cuando vuelva.",
  done: "Listo, puede cerrar esta página",
  done_means: "Sus respuestas han llegado. Gracias.",
  done_gone: "Ya no están en este teléfono.",
};

const LANGUAGES: Record<string, Words> = { en, es };

export function ownPhoneWords(language: string): Words {
  return LANGUAGES[language] ?? en;
}

/** The first of those that the phone's owner reads; English where there is none of them. */
export function languageOf(wanted: readonly string[]): string {
  const known = wanted.map((one) => one.slice(0, 2).toLowerCase());
  return known.find((one) => Object.hasOwn(LANGUAGES, one)) ?? "en";
}
