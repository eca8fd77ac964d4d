"""The app as Django sees it. Each of its records of evidence is declared to the chains."""

from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "heelwright.intake"
    label = "intake"

    def ready(self) -> None:
        from heelwright.intake.chained import stand_for
        from heelwright.intake.evidence_record import EvidenceRecord

        for model in self.get_models():
            if issubclass(model, EvidenceRecord):
                stand_for(model)
