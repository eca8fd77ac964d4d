/** Says in words what the store could not do. */
import { Fault } from "../store";
import { t } from "../words";

export function faultWords(error: unknown): string {
  return error instanceof Fault ? t(`fault.${error.code}`) : t("fault.unknown");
}
