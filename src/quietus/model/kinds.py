"""What a paper can be, and the form of authority it carries."""

from enum import StrEnum


class Kind(StrEnum):
    """Kinds of paper. The value is the word used in JSON, in rule packs and in retention schedules."""

    CONSENT = "consent"
    WINDING_UP_NOTICE = "winding_up_notice"
    DISSOLUTION = "dissolution"
    WITHDRAWAL = "withdrawal"
    CLEARANCE = "clearance"
    FINAL_RETURN = "final_return"
    FINAL_K1 = "final_k1"
    FINAL_EMPLOYMENT_RETURN = "final_employment_return"
    WAGE_STATEMENT = "wage_statement"
    INFORMATION_RETURN = "information_return"
    ASSET_SALE_FORM = "asset_sale_form"
    CORPORATE_LIQUIDATION_NOTICE = "corporate_liquidation_notice"
    EIN_CLOSURE_LETTER = "ein_closure_letter"
    CREDITOR_NOTICE = "creditor_notice"
    MAILING_PROOF = "mailing_proof"
    PUBLICATION_AFFIDAVIT = "publication_affidavit"
    ASSET_DISPOSITION = "asset_disposition"
    DISTRIBUTION_RECORD = "distribution_record"
    CLOSING_BALANCE_SHEET = "closing_balance_sheet"
    ACCOUNT_CLOSURE = "account_closure"
    TAX_NOTICE = "tax_notice"
    OTHER = "other"

    @property
    def words(self) -> str:
        """The kind in the trade's words, for screens and papers."""
        return _WORDS[self]

    @property
    def ends_registration(self) -> bool:
        """True for the filing that ends a company at home or withdraws it elsewhere."""
        return self in {Kind.DISSOLUTION, Kind.WITHDRAWAL}


_WORDS = {
    Kind.CONSENT: "member consent",
    Kind.WINDING_UP_NOTICE: "winding-up notice",
    Kind.DISSOLUTION: "dissolution filing",
    Kind.WITHDRAWAL: "foreign withdrawal",
    Kind.CLEARANCE: "tax clearance",
    Kind.FINAL_RETURN: "final return",
    Kind.FINAL_K1: "final Schedule K-1",
    Kind.FINAL_EMPLOYMENT_RETURN: "final employment return",
    Kind.WAGE_STATEMENT: "wage statements",
    Kind.INFORMATION_RETURN: "information returns",
    Kind.ASSET_SALE_FORM: "asset sale form",
    Kind.CORPORATE_LIQUIDATION_NOTICE: "Form 966",
    Kind.EIN_CLOSURE_LETTER: "EIN closure letter",
    Kind.CREDITOR_NOTICE: "creditor notice",
    Kind.MAILING_PROOF: "proof of mailing",
    Kind.PUBLICATION_AFFIDAVIT: "affidavit of publication",
    Kind.ASSET_DISPOSITION: "asset disposition record",
    Kind.DISTRIBUTION_RECORD: "distribution record",
    Kind.CLOSING_BALANCE_SHEET: "closing balance sheet",
    Kind.ACCOUNT_CLOSURE: "tax account closure",
    Kind.TAX_NOTICE: "tax notice",
    Kind.OTHER: "other paper",
}


class Authority(StrEnum):
    """In what form a paper speaks for the office it comes from (Federal Rules of Evidence 902(1), (2) and (4)).

    A scan of an office-stamped copy is not a copy certified by the office, and is never shown as one.
    """

    PLAIN = "plain copy"
    STAMPED = "office-stamped"
    CERTIFIED = "agency-certified"
    ELECTRONIC = "electronic certificate"
