"""What each way to put men and squares together, and each asking, costs: small whole numbers, nowhere else than here.

Those of positions were set on what is told in the texts of tests/trial: what must be cheap is what people do, and what
must be dear is what makes men of a solution into a position.
"""

# Putting men on squares.
PUT = -2  # a man gets its square
AGAIN = 0  # a man is named again where it stands
AFTER = 1  # a square stands before its man
FAR = 1  # for each three words between a man and its square
FARTHEST = 3  # times that
COMMA = 1  # between a man and its square
STOP = 3  # a full stop or semicolon between them
OPEN = 1  # a square goes on with the man before, behind other words than "and" or a comma
TO = 4  # a square somebody goes to
OVER = 6  # another man stands on the square already
MISCOUNTED = 4  # "two pawns", and one square
NOT_BACK = 4  # "no", "sorry", and nothing is taken back
NOT_LIFTED = 3  # a square is named on which nobody stands, and who does stays there
MAN_PASSED = 4  # a man gets no square
SPOKEN_OF = 0  # where one like him stands
BESIDE = 1  # a man who stands already is named between a man and its square
BY_WHOM = 2  # a man by whom another stands gets the square instead: "a bishop under the rook, on c7"
ONE = 1  # "the black one": a man of the same kind as the last
LINE_NAMED = 0  # a rank or file is named, on which men may follow
OTHER_LINES = 5  # who tells by files goes on by ranks, or the other way about
LINE_PASSED = 4  # another is named, and men go on to be put on the one before
ON_LINE = 0  # a man stands on the file that is named on that rank, or the other way about
COUNTED = 5  # "fifth": the place on a rank, counted from the left
SQUARE_PASSED = 4  # a square gets no man
STANDS = 1  # a man stands there already: "the g3 one stays"
ANOTHER_KING = 12  # a king gets no square where both stand: another position is told
ANOTHER_MEANING = 2  # for each meaning of a word or square after its first

# Whose men they are.
SIDE_SUPPOSED = 1  # nobody has said whose men come first: White's
OWNERS = {"own": (3, 0), "hearer": (0, 1), "other": (0, 3)}  # whose men "my", "your" and "his" are: Black's, White's
SIDE_PASSED = 3  # the name of a side that begins none of its men: "facing the white king"
KEPT = 1  # the other side's men of the same kind follow: "kings: white h7, black c8"
SIDE_ENDS = 3  # a side that was said of one man only: "a black pawn on h7 and the rook on a5"
ASIDE_ENDS = 1  # the same of a man by whom another stands: "next to the black king, who is on g8. Bishop on a6"
SIDE_AGAIN = 6  # a side is named anew where both kings stand: another position may begin
KINGS_FIRST = 2  # men that stand where that costs nothing: the others are still to come
SECOND_KING = 2  # a second king without a word for the side is the other side's

# A position told as another with a change.
MENTIONED = 1  # a man who stands is named behind the change: "so that the knight has something to take"
MOST_OF_CHANGE = 2  # what costs more changes nothing, but tells of play

# The position as a whole.
COUNT_RIGHT = -3  # "six white, seven black", and so many there are
COUNT_WRONG = 3
FEW = 2  # "two in all" may be of anything
PROMOTED = 6  # a second queen, a third knight
COUNTED_BEHIND = 40  # beads behind a telling in which its men may be counted

SQUARE_LEFT = 2  # right before or behind it a square is named on which it puts nothing
AROUND = 60  # beads that are right before or behind

# Where a telling is over.
PLAYS = 5  # a word of play within it
EXPLAINS = 1  # a word for what men do where they stand: "staring at our queen"
PAUSE = 1  # a sentence without a man
BLANK_LINE = 4  # when both kings stand
LINE = 1  # it ends with a line
LEFT_OFF = 3  # it ends within a sentence

# What is looked at.
BEAM = 48  # ways that are gone on with
MOST_BEADS = 260  # of a telling
MOST_PAUSES = 4  # sentences in which the likeliest way puts no man
HOPELESS = 12  # a telling that has come to cost so much is none
MOST_LEFT = 8  # what costs more with the squares around it is no position, be it sound
MOST = 0  # what costs more is no telling, but men and squares of play
LIKELY = 6  # so much dearer than the cheapest way another one may be
MOST_OF_AN_END = 6  # ways that end at one place
MOST_WAYS = 40  # ways that are proved
NEAR = 160  # beads from its first in which a telling has two kings and squares enough
FEWEST = 3  # of those squares
MOST_PLAY = 3  # words of play among them

# Which number of moves is asked for, all of it what speaks against one.
BARE_NUMBER = 1  # it counts nothing, and no word for mate stands near it
STRANGE_WORD = 1  # for each word near it that orders do not need
REPLIES = 3  # somebody has so many moves
MAN_NAMED = 3  # near it
DEFENDER = 2  # the other side is spoken of, and no mate
LETTER = 1  # "a three" may be a square
SENTENCES = 3  # so many between it and the position, or the beginning of its part, cost 1
MOST_SENTENCES = 2  # that they cost at the most
BEHIND_PLAY = 2  # it stands behind a move
MOST_OF_ASKING = 2  # what costs more asks for nothing, whatever the proof says
