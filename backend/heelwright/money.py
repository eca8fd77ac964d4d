"""Money: decimals, with as many places as the currency has minor units (ISO 4217, from memory).

A currency that is not known is "", has two places, and is shown without a sign: nobody guesses it.
"""

from decimal import ROUND_HALF_UP, Decimal

CURRENCIES = frozenset(
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD"
    " CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS"
    " GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW"
    " KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR"
    " MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR"
    " SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX"
    " USD UYU UZS VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG".split()
)
WITHOUT_MINOR_UNITS = frozenset(
    "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split()
)
# Where people pay with one of these, its sign is how they write it (from memory).
SIGNS = {"AUD": "$", "CAD": "$", "EUR": "\N{EURO SIGN}", "GBP": "\N{POUND SIGN}", "USD": "$"}
OF_THOUSANDTHS = frozenset("BHD IQD JOD KWD LYD OMR TND".split())


def places(currency: str) -> int:
    """How many decimals an amount of it has."""
    if currency in WITHOUT_MINOR_UNITS:
        return 0
    return 3 if currency in OF_THOUSANDTHS else 2


def rounded(amount: Decimal, currency: str = "") -> Decimal:
    """To whole cents or pence, a half up: as tax offices and people do it by hand."""
    return amount.quantize(Decimal(1).scaleb(-places(currency)), ROUND_HALF_UP)


def shown(currency: str, amount: Decimal) -> str:
    """As it stands on papers: by its sign, or by its letters where people know no other."""
    text = f"{abs(rounded(amount, currency)):,}"
    minus = "-" if amount < 0 else ""
    if sign := SIGNS.get(currency):
        return f"{minus}{sign}{text}"
    return f"{minus}{text} {currency}".strip()
