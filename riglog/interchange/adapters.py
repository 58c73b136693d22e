"""pydantic models built from the nouns, one a class: documents to nouns, text to SI.

The nouns stay plain; what a document adds to them stands here: quantities are text with a unit, a
mount may be a bare list, a load a single mass. A model is built when its noun is first met.
"""

from __future__ import annotations

import re
import types
from collections.abc import Callable, Hashable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from dataclasses import Field as NounField
from functools import cache, partial
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    PlainValidator,
    Tag,
    WithJsonSchema,
    create_model,
)
from pydantic_core import PydanticCustomError, PydanticUndefined

from riglog.errors import CallError
from riglog.interchange import forms, shapes
from riglog.records import LoadRange, Mount, Rig
from riglog.records.limits import Ascending, Limit, Text
from riglog.units import Unit, parse

# The checker wants types that stand in the text; these are made while the program runs.
_annotate: Any = Annotated
_tuple: Any = tuple
_dict: Any = dict
_union_of: Any = Union

TEXT, LIST, MAP = "<text>", "<list>", "<map>"
SHAPES = {TEXT: "a single value", LIST: "a list", MAP: "a mapping"}


def key_of(spec: NounField[Any]) -> str:
    """The key of a noun's field in documents."""
    return str(spec.metadata.get("key", spec.name))


def model(noun: type) -> type[BaseModel]:
    """The pydantic model whose fields read what a document says of a noun."""
    # A class is hashable, whatever its metaclass might say.
    return _model(cast("Hashable", noun))


@cache
def _model(noun: type) -> type[BaseModel]:
    hints = get_type_hints(noun, include_extras=True)
    members: dict[str, Any] = {
        spec.name: (_field(noun, spec, hints[spec.name]), _default(noun, spec))
        for spec in fields(noun)
    }
    config = ConfigDict(extra="forbid")
    return create_model(noun.__name__, __config__=config, __doc__=noun.__doc__, **members)


def _field(noun: type, spec: NounField[Any], hint: Any) -> Any:
    if (noun, spec.name) == (Rig, "rated_load"):
        return _rated_load(hint)
    return form(hint)


def _default(noun: type, spec: NounField[Any]) -> Any:
    required = spec.default is MISSING and spec.default_factory is MISSING
    default = PydanticUndefined if required else None
    return Field(default, alias=key_of(spec), description=description(noun, spec.name) or None)


def description(noun: type, field: str) -> str:
    """The sentences of a noun's docstring that name a field."""
    text = " ".join(" ".join(base.__doc__ or "" for base in noun.__mro__[:-1]).split())
    sentences = re.split(r"(?<=\.) (?=[A-Z`])", text)
    return " ".join(each for each in sentences if f"``{field}``" in each).replace("``", "")


def noun_of(noun: type, read: BaseModel) -> Any:
    """The noun from what was written; whatever was left out keeps the noun's own default."""
    return noun(**{name: getattr(read, name) for name in read.model_fields_set})


def form(hint: Any) -> Any:
    """The pydantic type that reads what a hint of a noun stands for."""
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _annotated(args[0], args[1:])
    if origin is Literal:
        return leaf(partial(forms.choice, words=args), shapes.choice(args))
    if origin in {Union, types.UnionType}:
        return _union(tuple(arg for arg in args if arg is not types.NoneType))
    if origin is tuple:
        return _list_of(args)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        table = _dict[form(args[0]), form(args[1])]
        return _annotate[table, BeforeValidator(_a_mapping)]
    return leaf(_PLAIN[hint], shapes.PLAIN[hint]) if hint in _PLAIN else _shorthand(hint)


def _list_of(args: tuple[Any, ...]) -> Any:
    """A list: of any length, or of as many values as the hint has."""
    items = tuple(arg if arg is Ellipsis else form(arg) for arg in args)
    count = None if Ellipsis in args else len(args)
    return _annotate[_tuple[items], BeforeValidator(partial(_a_list, count))]


_PLAIN: Mapping[Any, Callable[[str], Any]] = {
    str: forms.line,
    bool: forms.boolean,
    float: forms.figure,
    int: forms.whole,
}


def _annotated(hint: Any, marks: tuple[Any, ...]) -> Any:
    """A form with its marks: how the words are read, and which values can be."""
    read = form(hint)
    for mark in marks:
        if isinstance(mark, Unit):
            read = leaf(partial(parse, unit=mark), shapes.quantity(mark))
        elif isinstance(mark, Text):
            read = leaf(forms.TEXTS[mark], shapes.TEXTS[mark])
        else:
            read = _annotate[read, AfterValidator(partial(_within, mark))]
    return read


def _within(limit: Limit, value: Any) -> Any:
    if fault := limit.fault(value):
        raise _error(*fault, about_input=True)
    return value


def leaf(read: Callable[[str], Any], schema: shapes.Schema) -> Any:
    """A single value, read by a function that raises ``CallError`` with a hint."""
    return _annotate[Any, PlainValidator(partial(_read, read)), WithJsonSchema(schema)]


def _read(read: Callable[[str], Any], value: Any) -> Any:
    if not isinstance(value, str):
        raise _error(f"{SHAPES[shape(value)]} stands where one value is wanted", "write one value")
    try:
        return read(value)
    except CallError as error:
        raise _error(error.message, error.hint) from error


def _a_list(count: int | None, value: Any) -> Any:
    if not isinstance(value, list):
        example = "[a, b, c]" if count is None else f"[{', '.join('abcdef'[:count])}]"
        message = f"{SHAPES[shape(value)]} stands where a list is wanted"
        raise _error(message, f"write it in brackets, as {example}")
    if count is not None and len(value) != count:
        found = "1 value stands" if len(value) == 1 else f"{len(value)} values stand"
        raise _error(f"{found} where {count} belong", f"write {count}")
    return value


def _a_mapping(value: Any) -> Any:
    if not isinstance(value, dict):
        raise _error(f"{SHAPES[shape(value)]} stands where keys are wanted", "write key: value")
    return value


def _error(message: str, mend: str, *, about_input: bool = False) -> PydanticCustomError:
    context = {"message": message, "mend": mend, "about_input": about_input}
    return PydanticCustomError("riglog", "{message}", context)


def _shorthand(noun: type) -> Any:
    """A noun, in full or in the short forms that documents allow it."""
    assert is_dataclass(noun), noun
    if noun is LoadRange:
        return _by_shape((TEXT, _load_up_to()), (LIST, _load_between()))
    make = AfterValidator(partial(noun_of, noun))
    full = _annotate[model(noun), BeforeValidator(_a_mapping), make]
    if noun is Mount:
        at = form(get_type_hints(Mount, include_extras=True)["at"])
        return _by_shape(
            (LIST, _annotate[at, AfterValidator(lambda at: Mount(at=at))]), (MAP, full)
        )
    return full


def _rated_load(hint: Any) -> Any:
    """A mass for the rig as a whole, or a load for each link."""
    whole = _annotate[_load_up_to(), AfterValidator(lambda load: {"rig": load})]
    return _by_shape((TEXT, whole), (MAP, form(hint)))


def _load_up_to() -> Any:
    mass = form(get_type_hints(LoadRange, include_extras=True)["greatest"])
    return _annotate[mass, AfterValidator(lambda mass: LoadRange(greatest=mass))]


def _load_between() -> Any:
    hints = get_type_hints(LoadRange, include_extras=True)
    masses = _list_of((hints["least"], hints["greatest"]))
    rising = AfterValidator(partial(_within, Ascending()))
    make = AfterValidator(lambda pair: LoadRange(least=pair[0], greatest=pair[1]))
    return _annotate[masses, rising, make]


def _union(choices: tuple[Any, ...]) -> Any:
    """A choice between forms that differ in shape."""
    if len(choices) == 1:
        return form(choices[0])
    return _by_shape(*((_shape_of(arg), form(arg)) for arg in choices))


def _shape_of(hint: Any) -> str:
    """Which shape a form of a union has."""
    if is_dataclass(hint):
        return MAP
    return LIST if get_origin(hint) is tuple else TEXT


def _by_shape(*choices: tuple[str, Any]) -> Any:
    tagged = tuple(_annotate[read, Tag(tag)] for tag, read in choices)
    return _annotate[_union_of[tagged], Discriminator(shape)]


def shape(value: Any) -> str:
    """Which of the three shapes of YAML a value has."""
    return LIST if isinstance(value, list) else MAP if isinstance(value, dict) else TEXT
