"""Every sample scan: which paper it is, what happened to it, and in what kind of file it arrived."""

import zlib
from collections.abc import Callable, Sequence

import numpy as np

from drawing import ageing, filings, letters, packing, returns, stamps
from drawing.ageing import Wear, age, gray
from drawing.companies import BRINDLEWICK, SALTMARSH, THISTLEDOWN
from drawing.sheet import BLACK_INK, BLUE_INK, WIDTH, Draw, Pixels, line, over, raster, sheets

Dice = np.random.Generator
Scene = Callable[[Dice], bytes]

TN_CONTROL = "001207744"
TN_ACCOUNT = "1002384417-FAE"


def _flat(draw: Draw, dpi: int) -> Pixels:
    return raster(sheets([draw]), dpi)[0]


def a01(dice: Dice) -> bytes:
    """Articles of Dissolution, colour, red box stamp at an angle over print."""
    page = _flat(filings.oregon_articles(BRINDLEWICK, "July 8, 2026", "July 6, 2026"), 200)
    stamp = stamps.boxed("JUL 14 2026", ("OREGON", "SECRETARY OF STATE"))
    page = stamps.press(page, stamp, (446, 506), 7, stamps.RED, 200, dice)
    return packing.scan_pdf(age(page, Wear(skew=0.5, noise=1.5, lid=228), dice), 200, 58)


def a02(dice: Dice) -> bytes:
    """Statement of Withdrawal, a draft: signed, never filed."""
    paper = filings.washington_withdrawal(
        BRINDLEWICK, "604 771 305", "June 1, 2016", "June 30, 2026", "2026-07-20", BLUE_INK
    )
    page = gray(_flat(over(filings.draft_mark, paper), 150))
    return packing.png(age(page, Wear(paper=(252, 252, 252), skew=-0.4, clip=243), dice), 150, 16)


def a03(_dice: Dice) -> bytes:
    """Statement of Foreign Entity Withdrawal as the filing system made it: real text, no ink."""
    return sheets([filings.colorado_withdrawal(BRINDLEWICK)])


def a04(dice: Dice) -> bytes:
    """Cancellation of Certificate of Authority, two pages by fax, plain black stamp."""
    front, back = filings.tennessee_cancellation(BRINDLEWICK, TN_CONTROL, "September 24, 2026")
    pages = raster(sheets([front, back]), 200)
    stamp = stamps.boxed("SEP 28 2026", ("Tennessee", "Secretary of State"), 180)
    pages[0] = stamps.press(pages[0], stamp, (440, 672), -2, stamps.BLACK, 200, dice, 1.0)
    sent = [ageing.fax(page, _fax_line(n), 0.35 - 0.6 * (n - 1), dice) for n, page in enumerate(pages, start=1)]
    return packing.tiff_g4(sent, 200)


def _fax_line(number: int) -> Pixels:
    words = f"10/02/2026 14:22   FROM: REGISTERED AGENT DESK   FAX 615 555 0187   P.{number:03d}/002"
    return raster(sheets([lambda pen: line(pen, 30, 6, words, "Mono-Bold", 9.5)], (WIDTH, 20)), 200)[0]


def a05(dice: Dice) -> bytes:
    """Certificate of Tax Clearance, photographed on a desk."""
    paper = letters.tennessee_clearance(BRINDLEWICK, TN_CONTROL, TN_ACCOUNT, "August 3, 2026", "September 15, 2026")
    page = age(_flat(paper, 170), Wear(noise=0.8, blur=0.6, shade=0, specks=4), dice)
    corners = ((0.035, 0.045), (0.985, 0.015), (0.962, 0.985), (0.012, 0.962))
    return packing.jpeg(ageing.photograph(page, corners, dice), 72, 60)


def a06(dice: Dice) -> bytes:
    """Franchise and excise return with no return box marked."""
    amounts = (
        ("Net worth or property measure, whichever is greater", "61,480"),
        ("Franchise tax, minimum $100", "154"),
        ("Federal income from the partnership return", "8,912"),
        ("Additions to income", "0"),
        ("Subtractions from income", "1,250"),
        ("Apportionment ratio", "21.40%"),
        ("Income subject to excise tax", "1,640"),
        ("Excise tax", "107"),
        ("Total tax due", "261"),
        ("Payments made with estimates", "261"),
        ("Balance due", "0"),
    )
    paper = returns.tennessee_fae170(BRINDLEWICK, TN_CONTROL, TN_ACCOUNT, "07/24/2026", amounts)
    page = age(gray(_flat(paper, 170)), Wear(paper=(246, 246, 246), skew=-0.7, noise=2.0, holes=2, lid=214), dice)
    return packing.scan_pdf(page, 170, 55, colour=False)


BRINDLEWICK_YEAR = (
    ("Gross receipts or sales", "212,604"),
    ("Cost of goods sold", "148,310"),
    ("Net gain from sale of business property", "5,118"),
    ("Total income", "69,412"),
    ("Guaranteed payments to partners", "24,000"),
    ("Rent", "18,600"),
    ("Taxes and licenses", "2,944"),
    ("Depreciation", "6,206"),
    ("Other deductions", "8,750"),
    ("Ordinary business income", "8,912"),
)
SALTMARSH_YEAR = (
    ("Gross receipts or sales", "87,215"),
    ("Cost of goods sold", "60,940"),
    ("Net gain from sale of business property", "2,300"),
    ("Total income", "28,575"),
    ("Guaranteed payments to partners", "12,000"),
    ("Rent", "6,150"),
    ("Taxes and licenses", "1,080"),
    ("Depreciation", "1,925"),
    ("Other deductions", "3,310"),
    ("Ordinary business income", "4,110"),
)


def a07(dice: Dice) -> bytes:
    """Form 1065 marked final, lying sideways, two digits of the EIN swapped."""
    paper = returns.form_1065(BRINDLEWICK, "07-4418320", "04/11/2016", "09/10/2026", "09/09/2026", BRINDLEWICK_YEAR)
    page = age(gray(_flat(paper, 200)), Wear(paper=(247, 247, 247), skew=0.6, noise=1.6, lid=226), dice)
    return packing.scan_pdf(ageing.sideways(page), 200, 55, colour=False)


def _oregon_year(income: str) -> returns.Amounts:
    return (
        ("Ordinary business income from the federal return", income),
        ("Oregon additions", "0"),
        ("Oregon subtractions", "0"),
        ("Income apportioned to Oregon", income),
        ("Minimum tax", "150"),
        ("Payments already made", "150"),
        ("Tax to pay", "0"),
    )


def a08(dice: Dice) -> bytes:
    """Oregon partnership return, the final box ticked with a pen."""
    page = _flat(returns.oregon_65(BRINDLEWICK, "09/10/2026", "pen", _oregon_year("8,912"), "4,456"), 150)
    return packing.scan_pdf(age(page, Wear(paper=(244, 246, 248), skew=0.3), dice), 150, 58)


def a09(dice: Dice) -> bytes:
    """Members' consent, signed after the filing it should have come before."""
    page = _flat(letters.member_consent(BRINDLEWICK, "May 3, 2016", "August 2, 2026"), 150)
    return packing.scan_pdf(
        age(page, Wear(paper=(248, 243, 230), skew=-0.9, noise=2, folds=(0.345, 0.672), lid=222), dice), 150, 55
    )


def a10(dice: Dice) -> bytes:
    """Notice to creditors."""
    creditor = ("Fennimore Steel Racks Co.", "Accounts receivable", "2200 Foundry Row, Alder Crossing, Oregon 97209")
    paper = letters.creditor_notice(BRINDLEWICK, "July 30, 2026", "July 14, 2026", "December 1, 2026", creditor)
    return packing.jpeg(age(_flat(paper, 150), Wear(skew=1.1, shade=0.08, folds=(0.33, 0.66), lid=206), dice), 150, 58)


def a11(dice: Dice) -> bytes:
    """EIN closure letter, spoiled over its date and its number."""
    page = _flat(letters.account_closure(BRINDLEWICK, "October 9, 2026", "September 14, 2026", "26-281-00447"), 150)
    page = ageing.smear(page, (474, 704, 552, 732), 150, dice)
    page = ageing.smear(page, (482, 677, 536, 701), 150, dice)
    page = ageing.coffee_ring(page, (520, 662), 58, 150, dice)
    return packing.png(age(page, Wear(paper=(253, 252, 250), skew=0.5, clip=244), dice), 150)


def a12(dice: Dice) -> bytes:
    """Articles of Dissolution of a company nobody here knows."""
    page = _flat(filings.oregon_articles(THISTLEDOWN, "August 12, 2026", "August 10, 2026", "Sans", BLACK_INK), 160)
    stamp = stamps.boxed("AUG 19 2026", ("OREGON", "SECRETARY OF STATE"))
    page = stamps.press(page, stamp, (452, 703), -4, stamps.GREEN, 160, dice)
    return packing.jpeg(age(page, Wear(paper=(246, 246, 242), skew=-0.5, holes=3), dice), 160, 55)


def b01(dice: Dice) -> bytes:
    """Articles of Dissolution, blue round stamp."""
    page = _flat(filings.oregon_articles(SALTMARSH, "April 9, 2026", "April 2, 2026", ink=BLACK_INK), 200)
    stamp = stamps.round_one("APR 14 2026", "OREGON SECRETARY OF STATE", "CORPORATION DIVISION")
    page = stamps.press(page, stamp, (470, 690), -5, stamps.BLUE, 200, dice)
    return packing.scan_pdf(age(page, Wear(noise=1.2), dice), 200, 58)


def b02(dice: Dice) -> bytes:
    """Statement of Withdrawal, purple box stamp."""
    paper = filings.washington_withdrawal(
        SALTMARSH, "604 902 118", "March 12, 2018", "March 31, 2026", "April 17, 2026", BLACK_INK
    )
    stamp = stamps.boxed("APR 22 2026", ("SECRETARY OF STATE", "STATE OF WASHINGTON"), 176)
    page = stamps.press(_flat(paper, 180), stamp, (452, 128), 4, stamps.PURPLE, 180, dice)
    return packing.scan_pdf(age(page, Wear(skew=0.4, noise=1.2), dice), 180, 58)


def b03(dice: Dice) -> bytes:
    """Form 1065 marked final."""
    paper = returns.form_1065(SALTMARSH, SALTMARSH.ein, "02/05/2018", "06/09/2026", "06/08/2026", SALTMARSH_YEAR)
    page = age(gray(_flat(paper, 200)), Wear(paper=(249, 249, 249), noise=1.2), dice)
    return packing.scan_pdf(page, 200, 55, colour=False)


def b04(dice: Dice) -> bytes:
    """Oregon partnership return marked final."""
    page = _flat(returns.oregon_65(SALTMARSH, "06/09/2026", "X", _oregon_year("4,110"), "2,055"), 170)
    return packing.scan_pdf(
        age(gray(page), Wear(paper=(249, 249, 249), skew=-0.3, noise=1.2), dice), 170, 56, colour=False
    )


def b05(dice: Dice) -> bytes:
    """Members' consent."""
    page = _flat(letters.member_consent(SALTMARSH, "February 20, 2018", "April 2, 2026"), 150)
    return packing.scan_pdf(age(page, Wear(noise=1.2, skew=0.3, holes=2, lid=230), dice), 150, 58)


def b06(dice: Dice) -> bytes:
    """EIN closure letter."""
    paper = letters.account_closure(SALTMARSH, "September 8, 2026", "July 20, 2026", "26-250-01913")
    page = age(gray(_flat(paper, 170)), Wear(paper=(250, 250, 250), skew=-0.2, noise=1.2), dice)
    return packing.scan_pdf(page, 170, 56, colour=False)


def b07(dice: Dice) -> bytes:
    """Record of what became of the assets."""
    rows = (
        ("Reversible sheeter, 24 in.", "Copperkettle Bakehouse LLC", "March 12, 2026", "6,400.00"),
        ("Sheeter parts and belts", "Copperkettle Bakehouse LLC", "March 12, 2026", "1,150.00"),
        ("Delivery van, 2015", "Ines Hollowbrook (distributed)", "March 27, 2026", "5,800.00"),
        ("Office furniture and computers", "Rufus Tattersley (distributed)", "March 30, 2026", "740.00"),
        ("Cash in bank", "Both members, equally", "April 3, 2026", "18,962.40"),
    )
    page = _flat(letters.asset_record(SALTMARSH, "April 6, 2026", rows, "33,052.40"), 150)
    return packing.scan_pdf(age(page, Wear(noise=1.2), dice), 150, 55)


def b08(dice: Dice) -> bytes:
    """Notice to creditors."""
    creditor = ("Quillstone Belting Works", "Credit department", "51 Ropewalk, Heron Landing, Oregon 97109")
    paper = letters.creditor_notice(SALTMARSH, "April 16, 2026", "April 14, 2026", "August 31, 2026", creditor)
    return packing.scan_pdf(age(_flat(paper, 150), Wear(skew=-0.4, noise=1.2, folds=(0.36, 0.69)), dice), 150, 58)


SCENES: dict[str, Scene] = {
    "a01-or-articles-of-dissolution.pdf": a01,
    "a02-wa-statement-of-withdrawal-draft.png": a02,
    "a03-co-statement-of-foreign-entity-withdrawal.pdf": a03,
    "a04-tn-cancellation-of-certificate-of-authority.tif": a04,
    "a05-tn-tax-clearance.jpg": a05,
    "a06-tn-fae170-final.pdf": a06,
    "a07-us-1065-final.pdf": a07,
    "a08-or-65-final.pdf": a08,
    "a09-member-consent.pdf": a09,
    "a10-notice-to-creditors.jpg": a10,
    "a11-ein-account-closure-letter.png": a11,
    "a12-nobody.jpg": a12,
    "b01-or-articles-of-dissolution.pdf": b01,
    "b02-wa-statement-of-withdrawal.pdf": b02,
    "b03-us-1065-final.pdf": b03,
    "b04-or-65-final.pdf": b04,
    "b05-member-consent.pdf": b05,
    "b06-ein-account-closure-letter.pdf": b06,
    "b07-asset-disposition-record.pdf": b07,
    "b08-notice-to-creditors.pdf": b08,
}


def drawn(names: Sequence[str]) -> dict[str, bytes]:
    """The files named, drawn anew. Each has its own seed, so that one can be drawn without the others."""
    return {name: SCENES[name](np.random.default_rng(zlib.crc32(name.encode()))) for name in names}
