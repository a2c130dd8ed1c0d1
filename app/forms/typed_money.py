"""Sums of money as people type them into a field, to and from minor units of one currency."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

from app.forms.typed_fields import Typed
from app.model.base import LABEL_LIMIT
from app.model.money import MINOR_LIMIT
from app.units import format_money, without_group_marks

_BESIDE = re.compile(r"^[€£$\s]+|[€£$\s]+$")
"""Signs and blanks before a sum and behind it; none stands within one."""
_OF_SIGN = {
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP", "GIP", "FKP", "SHP", "EGP", "SYP", "LBP"}),
    "$": frozenset(
        {
            "USD", "CAD", "AUD", "NZD", "SGD", "HKD", "TWD", "BMD", "BBD", "BZD", "FJD", "GYD",
            "JMD", "KYD", "LRD", "NAD", "SBD", "SRD", "TTD", "XCD", "BND", "BSD", "MXN", "CLP",
            "COP", "ARS", "UYU", "DOP",
        }
    ),
}  # fmt: skip
"""Money that is written with a sign, by the codes of ISO 4217 (from memory)."""
_CIRCULATES = re.compile(
    "AED|AFN|ALL|AMD|ANG|AOA|ARS|AUD|AWG|AZN|BAM|BBD|BDT|BGN|BHD|BIF|BMD|BND|BOB|BRL|BSD|BTN|"
    "BWP|BYN|BZD|CAD|CDF|CHF|CLP|CNY|COP|CRC|CUP|CVE|CZK|DJF|DKK|DOP|DZD|EGP|ERN|ETB|EUR|FJD|"
    "FKP|GBP|GEL|GHS|GIP|GMD|GNF|GTQ|GYD|HKD|HNL|HTG|HUF|IDR|ILS|INR|IQD|IRR|ISK|JMD|JOD|JPY|"
    "KES|KGS|KHR|KMF|KPW|KRW|KWD|KYD|KZT|LAK|LBP|LKR|LRD|LSL|LYD|MAD|MDL|MGA|MKD|MMK|MNT|MOP|"
    "MRU|MUR|MVR|MWK|MXN|MYR|MZN|NAD|NGN|NIO|NOK|NPR|NZD|OMR|PAB|PEN|PGK|PHP|PKR|PLN|PYG|QAR|"
    "RON|RSD|RUB|RWF|SAR|SBD|SCR|SDG|SEK|SGD|SHP|SLE|SOS|SRD|SSP|STN|SVC|SYP|SZL|THB|TJS|TMT|"
    "TND|TOP|TRY|TTD|TWD|TZS|UAH|UGX|USD|UYU|UZS|VES|VND|VUV|WST|XAF|XCD|XOF|XPF|YER|ZAR|ZMW|"
    "ZWL"
)
"""Codes of money that circulates (ISO 4217, from memory): no other three letters name one."""
_ALONE = re.compile(r"[^A-Za-z]*([A-Za-z]{3})[^A-Za-z]*")
"""Three letters and no more: what has other words beside it is no sum in any money."""
_FIGURES = re.compile(r"\d[\d.,]*")
_GROUPED = re.compile(r"\d{1,3}([.,])\d{3}(?:\1\d{3})*")


def decimals_of(currency: str) -> int:
    """Return the decimals of a currency, as sums in it are written."""
    decimals = re.search(r"\.(0+)", format_money(0, currency))
    return len(decimals[1]) if decimals else 0


def written_sum(minor: int | None, currency: str) -> str:
    """Write a sum into a field so that it reads back as the same: "32.50"; nothing for None."""
    return "" if minor is None else f"{Decimal(minor).scaleb(-decimals_of(currency)):f}"


def typed_sum(typed: Typed, field: str, what: str, currency: str) -> int | None:
    """Read a sum in minor units; None where nothing is typed. Faults are noted with the field.

    Worked: "1 234,50" and "€1,234.50" are 123450 cents; "1.234" in euros has two readings and is
    refused, "12 GBP" in a plan in euros too, and "12 13", which is two sums and never 1213.
    """
    text = typed.fields.get(field, "").strip()
    if not text:
        return None
    if len(text) > LABEL_LIMIT:
        typed.fault(field, f"{what} cannot be read: write it like {_example(currency)}")
        return None
    alone = _ALONE.fullmatch(text)
    named = alone[1] if alone and _is_code(alone[1].upper(), currency) else ""
    if named and named.upper() != currency:
        typed.fault(
            field,
            f"{what} is in {named.upper()}, the plan's money is {currency}: give it in {currency}",
        )
        return None
    for sign, currencies in _OF_SIGN.items():
        if sign in text and currency not in currencies:
            typed.fault(
                field,
                f"{what} is in {sign}, the plan's money is {currency}: give it in {currency}",
            )
            return None
    minor = _minor(_bare(text.replace(named, " ") if named else text), currency)
    if isinstance(minor, str):
        typed.fault(field, f"{what} {minor}")
        return None
    if minor > MINOR_LIMIT:
        typed.fault(field, f"{what} is more than {format_money(MINOR_LIMIT, currency)}")
        return None
    return minor


def _is_code(word: str, currency: str) -> bool:
    return word == currency or bool(_CIRCULATES.fullmatch(word))


def _bare(text: str) -> str:
    """Return a sum without the signs and blanks beside it; a minus may stand before a sign."""
    plain = _BESIDE.sub("", text).replace("−", "-")
    return f"-{_BESIDE.sub('', plain[1:])}" if plain.startswith("-") else plain


def _minor(text: str, currency: str) -> int | str:
    """Return minor units, or what is wrong in words that follow the name of the sum."""
    digits = decimals_of(currency)
    cannot = f"cannot be read: write it like {_example(currency)}"
    plain = without_group_marks(text)
    if plain is None:
        if len(_FIGURES.findall(text)) > 1:
            return f"holds more than one number: give one sum, like {_example(currency)}"
        return cannot
    if "." in plain and "," in plain:
        last = max(plain.rfind("."), plain.rfind(","))
        head, tail = plain[:last], plain[last + 1 :]
        other = "," if plain[last] == "." else "."
        groups = head.split(other)
        if plain[last] in head or any(len(group) != 3 for group in groups[1:]):
            return cannot
        plain = f"{''.join(groups)}.{tail}"
    elif _GROUPED.fullmatch(plain):
        joined = re.sub("[.,]", "", plain)
        if digits != 3 or len(plain) - len(joined) > 1:
            return f"could be {joined} or less: write it without a mark between thousands"
    try:
        value = Decimal(plain.replace(",", "."))
    except InvalidOperation:
        return cannot
    if not value.is_finite() or not re.fullmatch(r"[\d.,-]+", plain):
        return cannot
    if value < 0:
        return "is less than nothing"
    scaled = value.scaleb(digits)
    if scaled != scaled.to_integral_value():
        return f"has more decimals than {currency} has"
    return int(scaled)


def _example(currency: str) -> str:
    return written_sum(123450 if decimals_of(currency) else 1234, currency)
