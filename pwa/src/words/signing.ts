/** What whoever signs sees besides the texts themselves, in the languages in which these are there. */
const en = {
  step: "{place} of {count}",
  yes: "Yes, I agree",
  no: "No",
  back: "Back",
  not_signing: "I do not want to sign",
  larger: "Larger text",
  smaller: "Smaller text",
  listen: "Read it aloud",
  quiet: "Stop reading",
  no_voice: "This phone has no voice. Ask for it to be read to you.",
  answers: "Your answers",
  you_said_yes: "You said yes",
  you_said_no: "You said no",
  change: "Change an answer",
  sign_here: "{name}, please sign here with your finger",
  tap_three: "{name}, please tap three times in the box",
  area: "Box to sign in",
  again: "Start again",
  may_stop: "You can say stop at any time. You do not have to say why.",
  sign: "Sign",
  nothing_agreed: "You did not say yes to anything. Nothing will be done that you do not want.",
  why: "If you like, say why. You do not have to.",
  finish: "Done, without signing",
};

export type SigningWord = keyof typeof en;
type Words = Record<SigningWord, string>;

const es: Words = {
  step: "{place} de {count}",
  yes: "Sí, estoy de acuerdo",
  no: "No",
  back: "Atrás",
  not_signing: "No quiero firmar",
  larger: "Letra más grande",
  smaller: "Letra más pequeña",
  listen: "Leer en voz alta",
  quiet: "Dejar de leer",
  no_voice: "Este teléfono no tiene voz. Pida que se lo lean.",
  answers: "Sus respuestas",
  you_said_yes: "Dijo que sí",
  you_said_no: "Dijo que no",
  change: "Cambiar una respuesta",
  sign_here: "{name}, firme aquí con el dedo, por favor",
  tap_three: "{name}, toque tres veces dentro del cuadro, por favor",
  area: "Cuadro para firmar",
  again: "Empezar de nuevo",
  may_stop: "Puede decir que paremos en cualquier momento. No tiene que decir por qué.",
  sign: "Firmar",
  nothing_agreed: "No dijo que sí a nada. No se hará nada que usted no quiera.",
  why: "Si quiere, diga por qué. No es necesario.",
  finish: "Terminar sin firmar",
};

const LANGUAGES: Record<string, Words> = { en, es };

export function signingWords(language: string): Words {
  return LANGUAGES[language] ?? en;
}

/** Each language by its own name. */
export const LANGUAGE_NAMES: Record<string, string> = { en: "English", es: "Español" };
