"""SealedField: a model field whose column holds an envelope and whose attribute is the plain value.

A value is opened when its attribute is read and sealed when its row is saved, in place and
nowhere else. What cannot be right is refused: queries by value, raw updates, dumps, forms. The row
says whom it is about; see `vault.models.SealedModel`.
"""

from typing import TYPE_CHECKING, Any, Literal, NoReturn, TypeVar, overload

from django.core import checks
from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.query_utils import DeferredAttribute

from heelwright.vault import codec
from heelwright.vault.errors import SealMisuse, UnsealableValue
from heelwright.vault.place import Place
from heelwright.vault.stored import Envelope, remember
from heelwright.vault.values import open_value, seal_value

_Set = TypeVar("_Set")
_Get = TypeVar("_Get")
_V = TypeVar("_V")

if TYPE_CHECKING:
    _Base = models.Field
else:

    class _Base(models.Field):
        """Django's fields take type parameters in their stubs only."""

        def __class_getitem__(cls, _: Any) -> type:
            return cls


class SealedAttribute(DeferredAttribute):
    """Opens the value when it is first read. Lists of rows so decrypt only what they show."""

    field: "SealedField[Any, Any]"

    def __get__(self, instance: Any, cls: Any = None) -> Any:
        value = super().__get__(instance, cls)
        if isinstance(value, Envelope):
            value = open_value(self.field.place(instance), value.sealed)
            instance.__dict__[self.field.attname] = value
        return value

    def __set__(self, instance: Any, value: Any) -> None:
        if isinstance(value, Envelope):
            remember(instance, self.field.attname, value)
        instance.__dict__[self.field.attname] = value


class SealedField(_Base[_Set, _Get]):
    """Holds one kind of value: SealedField(str), also date, int, bool, dict, list.

    With null=True, None is stored as NULL: that there is no value is not a secret.
    """

    descriptor_class = SealedAttribute
    empty_strings_allowed = False

    if TYPE_CHECKING:

        @overload
        def __init__(
            self: "SealedField[_V | None, _V | None]",
            kind: type[_V],
            *,
            null: Literal[True],
            **options: Any,
        ) -> None: ...

        @overload
        def __init__(
            self: "SealedField[_V, _V]",
            kind: type[_V],
            *,
            null: Literal[False] = ...,
            **options: Any,
        ) -> None: ...

    def __init__(self, kind: type, **options: Any) -> None:
        if kind not in codec.KIND_OF:
            raise TypeError(f"a sealed field cannot hold {kind!r}")
        self.type = kind
        self.kind = codec.KIND_OF[kind]
        options["editable"] = False
        super().__init__(**options)

    def place(self, instance: models.Model) -> Place:
        """The one place where this row's value opens."""
        if not (hasattr(instance, "seal_subject") and hasattr(instance, "seal_practice")):
            raise SealMisuse(
                f"{self}: this class does not say whom its rows are about (a migration's copy of a "
                "model does not); use the live model, which derives from SealedModel"
            )
        key = instance._meta.pk
        row = key.to_python(instance.pk)
        if row is None:
            raise SealMisuse(f"{self}: give the row its id before it is sealed")
        return Place(
            practice=instance.seal_practice(),
            subject=instance.seal_subject(),
            table=self.model._meta.db_table,
            column=str(self.column),
            row=str(row),
            kind=self.kind,
        )

    def get_internal_type(self) -> str:
        return "BinaryField"

    def deconstruct(self) -> tuple[str, str, Any, dict[str, Any]]:
        name, path, args, options = super().deconstruct()
        options.pop("editable", None)
        return str(name), path, [self.type, *args], options

    # To the database.

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        """Seal the value. One that was never read goes back as it was, if it still opens here."""
        value = model_instance.__dict__.get(self.attname)
        if value is None:
            return None
        place = self.place(model_instance)
        if isinstance(value, Envelope):
            open_value(place, value.sealed)
            return value
        try:
            envelope = Envelope(seal_value(place, value))
        except UnsealableValue as error:
            raise UnsealableValue(f"{self}: {error}") from None
        remember(model_instance, self.attname, envelope)
        return envelope

    def get_db_prep_value(
        self,
        value: Any,
        connection: BaseDatabaseWrapper,
        prepared: bool = False,
    ) -> Any:
        if value is None:
            return None
        if not isinstance(value, Envelope):
            raise SealMisuse(
                f"{self} is sealed row by row: set the attribute and save() each row; "
                "update(), bulk_update() and expressions cannot"
            )
        return connection.Database.Binary(value.sealed)  # type: ignore[attr-defined]

    def get_db_prep_save(self, value: Any, connection: BaseDatabaseWrapper) -> Any:
        return self.get_db_prep_value(value, connection)

    def get_placeholder(self, value: Any, compiler: Any, connection: BaseDatabaseWrapper) -> str:
        """Refuses an insert that would overwrite: the row that is there keeps its id, and the
        envelope for the new id would never open in it."""
        if self in (getattr(compiler.query, "update_fields", None) or ()):
            raise SealMisuse(f"{self} is sealed for its row: bulk_create() cannot update_conflicts")
        return "%s"

    # From the database.

    def from_db_value(self, value: Any, *_: Any) -> Envelope | None:
        return None if value is None else Envelope(bytes(value))

    # What a sealed field is not for.

    @property
    def path_infos(self) -> NoReturn:
        """Django asks this of every field that a query names: filter, order_by, values, F, Max.

        Loading rows does not come this way.
        """
        raise SealMisuse(f"{self} is sealed: no query can look into it; read it from its rows")

    def value_from_object(self, obj: models.Model) -> NoReturn:
        raise SealMisuse(
            f"{self} is sealed: dumping or editing it by form would write it in the open"
        )

    def value_to_string(self, obj: models.Model) -> NoReturn:
        self.value_from_object(obj)

    def check(self, **kwargs: Any) -> list[checks.CheckMessage]:
        found = super().check(**kwargs)
        if not hasattr(self.model, "seal_subject"):
            hint = "Derive the model from heelwright.vault.models.SealedModel."
            found.append(
                checks.Error("A sealed field needs a sealed model.", hint, self, "vault.E001")
            )
        if self.unique or getattr(self, "db_index", False) or self.choices:
            hint = "Every envelope differs, also of equal values."
            found.append(
                checks.Error("A sealed field has no index or choices.", hint, self, "vault.E002")
            )
        return found
