-- The demonstration club of 5 June 2026 as schema 0070 kept it, without passwords and tokens.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE _sqlx_migrations (
    version BIGINT PRIMARY KEY,
    description TEXT NOT NULL,
    installed_on TIMESTAMP NOT NULL DEFAULT CURRENT_TIMESTAMP,
    success BOOLEAN NOT NULL,
    checksum BLOB NOT NULL,
    execution_time BIGINT NOT NULL
);
INSERT INTO _sqlx_migrations VALUES(1,'club','2026-11-26 10:42:07',1,X'38bb1389f40f8bdd519c3c1038bc56453a0cf9580eb4e24ef070a9e583eb42896ff052b615c370e17bc937ca2ffa2a42',799023);
INSERT INTO _sqlx_migrations VALUES(2,'shelf','2026-11-26 10:42:07',1,X'8e3ca94dbaeea52038198e4e2b3f70de32ee52101e22a618119871ad2b3ae7a415b8354847b867d4951bc9aeec85525f',3252426);
INSERT INTO _sqlx_migrations VALUES(3,'members','2026-11-26 10:42:07',1,X'4755f57d9357ecedad3dd13ae34282b7210a5d08fc63bbd061fb392ac01ef8e923a3c1e0f6a6825f82ad0c0763bd03b1',1817922);
INSERT INTO _sqlx_migrations VALUES(4,'accounts','2026-11-26 10:42:07',1,X'f29a743826ce6c6c81c7e56f72dc2fed3091400b769d4e04d1d319bd0daf15da7f8aa4a7724955179347bfab46c79e22',2774749);
INSERT INTO _sqlx_migrations VALUES(5,'nights','2026-11-26 10:42:07',1,X'881dcc28d208a6d67f9c87ff85238dd7d7bae589591421ad409c38359136938479808957423f0f2bfba6dad1c23e9baf',2005310);
INSERT INTO _sqlx_migrations VALUES(6,'audit','2026-11-26 10:42:07',1,X'de2cb7a0a14ebf1957184202b1715f58fc87aea00b8380087e1adc96b450a6e7d3b8527f6322da35cb27a74dc8c74498',2528735);
INSERT INTO _sqlx_migrations VALUES(7,'joining','2026-11-26 10:42:07',1,X'333e61f952fc5c3cb7783f748aa23141f3813505b3951df151ad59b3d7df75409743cdc6f1fec35e6f530276cca95b0f',729701);
INSERT INTO _sqlx_migrations VALUES(8,'post','2026-11-26 10:42:07',1,X'cdb44691483ee96b36a1f981598b614b9bcc9d433146746aee7c81131febf3cf34b93341cdbdb43b275a145efeeb3e84',1894515);
INSERT INTO _sqlx_migrations VALUES(9,'doors','2026-11-26 10:42:07',1,X'7cb47d91723c19048061e1bb0208beda28a56f238fa94e32443f6cf265a4082164bc1d4d2f3fbc87ac81bfa5caa4bd46',9869845);
INSERT INTO _sqlx_migrations VALUES(10,'profile','2026-11-26 10:42:07',1,X'c7e667a78ec0764f46aa3957f5d54330380ce513565061ace1d72258de6c1b37d5d96612756142bc6c7b45bebb3b8a8c',9520899);
INSERT INTO _sqlx_migrations VALUES(11,'own gear','2026-11-26 10:42:07',1,X'4e473266be8e0ba1ef4aa1dfa70f1a3841dd6dee73e70a63d69418dabcb3ab149533a596c6b56ee5449e1880f52bba8a',2443559);
INSERT INTO _sqlx_migrations VALUES(12,'shelf finding','2026-11-26 10:42:07',1,X'd563150fe2287c8ed22cab14ad88ffe33b344644626f417eda61ae499a0efa4ccbb30f4b6091e7f014d0b08640a0af79',1920264);
INSERT INTO _sqlx_migrations VALUES(16,'lending','2026-11-26 10:42:07',1,X'9230e4cb25b6c2af1aa2cb9ac562297bba19d61e0ff0e17e4754e7911c83f708fddd0cec43ac865a5fc2d28b15473d58',15471390);
INSERT INTO _sqlx_migrations VALUES(17,'lending rules','2026-11-26 10:42:07',1,X'5e6d2e9949f6175ab18f24b2c74f36364cb209050c4438f3c749feebcd433f7eaacaaadb1e338fa5fd5bff740ddb50cf',807666);
INSERT INTO _sqlx_migrations VALUES(20,'sites','2026-11-26 10:42:07',1,X'8a1bc23d49c5dea40036d070d39823d537729fbfbdcf18af4c922d065e2dffbc10633d81dcee8e4fcdc5edd0d8f71e35',503355);
INSERT INTO _sqlx_migrations VALUES(30,'tube','2026-11-26 10:42:07',1,X'261426eed1a1edaccb63dcfc6d5c39d92cbe5fd21aca528b28aada67195e4edb5f6a2bd1b906b09912359e1ac7c26ea0',1278053);
INSERT INTO _sqlx_migrations VALUES(31,'care','2026-11-26 10:42:07',1,X'154acd9c4538c1559bd1559ba79f6241eb6b2c7288c6621b9c799ddc88658ecefabe385350b87ddcd817c323de968fbb',934574);
INSERT INTO _sqlx_migrations VALUES(32,'accessories','2026-11-26 10:42:07',1,X'66a9c8a25587ac50999a3a676df9411ae392c560a093f945e0cb1746213437bc2ad92a9d7f284c2e2ea642d31cdc0418',1373344);
INSERT INTO _sqlx_migrations VALUES(33,'papers','2026-11-26 10:42:07',1,X'97e2b8c623815278e7981dea0b6e259b01f72e684242c65052d5b08dfd56231b71a443ecb331b237ad63241e6f998c95',644464);
INSERT INTO _sqlx_migrations VALUES(34,'count','2026-11-26 10:42:07',1,X'fb219c84714e031b4da365437ec74936bc0eb938c31283ce8e5009c4ddd6c7d9fe0238870a8b26368ef2fa7e9b283502',980051);
INSERT INTO _sqlx_migrations VALUES(35,'photos','2026-11-26 10:42:07',1,X'f125bcdef1be4b8c397a9c588cd383096197889e6da387003134e09cef1f3e4373ca9d629f5184ba0599a5e0fe8ae1d2',1190292);
INSERT INTO _sqlx_migrations VALUES(40,'blocks','2026-11-26 10:42:07',1,X'b85ccb08bcd0962dbedc0a898b7fddc88b34b8dddda1c39cf0bb0a29c990766773264f36c6407455344889a9ebb9656b',474653);
INSERT INTO _sqlx_migrations VALUES(41,'calendar feeds','2026-11-26 10:42:07',1,X'86b4075c14c067aadc8d9fd63dbfbf42773d27308d54884b5082829d33c7e0fa290f3e83375174c667d915ef28a39c40',548743);
INSERT INTO _sqlx_migrations VALUES(42,'waiting','2026-11-26 10:42:07',1,X'443f9b23edd8b7e48aed5ee6da38cdbe100821794ed2bfdf764cdfb8b511f47c287901e3c3721b0c70dab7a7c7eed7a6',669322);
INSERT INTO _sqlx_migrations VALUES(43,'open reservations','2026-11-26 10:42:07',1,X'282a8f097dc3b4b9a00be98ea089f20f55e95eaaaeb3114d99cfa4a6d61a43ae193fd90329b29f00d0b4f1f112aa67ef',657083);
INSERT INTO _sqlx_migrations VALUES(44,'lending limits','2026-11-26 10:42:07',1,X'9de93da5b0fdf6cfa5195ac377c35ff83c6f1cb6d3361988cf1f937f2e17effe1ffc031dadc9cf9061bc8f6488e6b4b1',15485772);
INSERT INTO _sqlx_migrations VALUES(45,'reservation site','2026-11-26 10:42:07',1,X'4fdf81ecd7301cf2368037d5997ac04d1f19dea14d3fafee74b0a731c45e27ed83cab372707716d037a768beebc2d0cd',1802289);
INSERT INTO _sqlx_migrations VALUES(46,'signature','2026-11-26 10:42:07',1,X'fb9e9d0d5504faac50e125fe90b63acd48f39e5c496e36903075ae5f2f0fefdc6b41b27f2117b13e8c926015d312fe3b',541622);
INSERT INTO _sqlx_migrations VALUES(50,'site horizon','2026-11-26 10:42:07',1,X'148fdd9e3d72a48d2806054f3f135c83494b9884c0eb4dcce5ab31e35bb90eecd4197cb5487c6c13f1b0c3fa58f1480f',2992011);
INSERT INTO _sqlx_migrations VALUES(60,'public nights','2026-11-26 10:42:07',1,X'dd138d95bc131384c35a1199db66739f6377e7d03624142867c5ded0afe01409a2b60efa1c3669a5c38f72a7c99b3181',4922149);
INSERT INTO _sqlx_migrations VALUES(70,'buying','2026-11-26 10:42:07',1,X'8713fe47256379fed06f482117d0a265fd83c3a9fd0ee1eca11be0f448b206130e32bfc63722220f265ec08cf2541175',4044199);
CREATE TABLE club (
    id        INTEGER PRIMARY KEY CHECK (id = 1),
    name      TEXT NOT NULL CHECK (length(trim(name)) BETWEEN 1 AND 120),
    time_zone TEXT NOT NULL CHECK (length(time_zone) BETWEEN 1 AND 64)
) STRICT;
INSERT INTO club VALUES(1,'Windmill Hill Astronomers','Europe/London');
CREATE TABLE item (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    kind          TEXT NOT NULL
        CONSTRAINT item_kind CHECK (kind IN ('telescope', 'eyepiece', 'barlow', 'filter', 'accessory')),
    asset_tag     TEXT NOT NULL COLLATE NOCASE
        CONSTRAINT item_asset_tag CHECK (
            length(asset_tag) BETWEEN 1 AND 24
            AND asset_tag GLOB '[A-Za-z0-9]*'
            AND NOT asset_tag GLOB '*[^A-Za-z0-9._/-]*'
        ),
    name          TEXT NOT NULL
        CONSTRAINT item_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    state         TEXT NOT NULL DEFAULT 'in_service'
        CONSTRAINT item_state CHECK (
            state IN ('in_service', 'needs_inspection', 'in_repair', 'missing', 'retired')
        ),
    -- The whole thing; of a telescope, with its mount.
    mass_g        REAL CONSTRAINT item_mass CHECK (mass_g BETWEEN 1 AND 200000),
    acquired_year INTEGER
        CONSTRAINT item_acquired_year CHECK (acquired_year BETWEEN 1600 AND 2200),
    notes         TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_notes CHECK (length(notes) <= 2000),
    -- Counts the changes; the API's ETag.
    version       INTEGER NOT NULL DEFAULT 1 CONSTRAINT item_version CHECK (version >= 1),
    CONSTRAINT item_tag_is_the_only_one UNIQUE (asset_tag),
    -- What the tables of figures point at, so that a telescope's figures never hang on an eyepiece.
    CONSTRAINT item_of_a_kind UNIQUE (id, kind)
) STRICT;
INSERT INTO item VALUES(1,'telescope','T-001','The Orchard 8-inch','in_service',19800.0,2011,'the one everybody learns on; spare bearing pads in the box',2);
INSERT INTO item VALUES(2,'telescope','T-002','Little Plum','in_service',4600.0,2018,'needs a firm table; the folding one goes with it',1);
INSERT INTO item VALUES(3,'telescope','T-003','Windowsill','in_service',6300.0,2021,'dust cap lost and replaced by a plant saucer',1);
INSERT INTO item VALUES(4,'telescope','T-004','The Heron','in_service',5900.0,2017,'travels well, fits on a train seat',2);
INSERT INTO item VALUES(5,'telescope','T-005','The Attic Sixty','in_service',6400.0,1974,'takes narrow barrels only; found in the Aldous attic and re-greased',1);
INSERT INTO item VALUES(6,'telescope','T-006','Long Meg','in_service',8100.0,2009,'tall tripod, keep the legs tied in wind',1);
INSERT INTO item VALUES(7,'telescope','T-007','Marigold','in_service',8600.0,2019,'everybody''s favourite for clusters',2);
INSERT INTO item VALUES(8,'telescope','T-008','The Miller','in_service',24500.0,2014,'two counterweights, count them back in',1);
INSERT INTO item VALUES(9,'telescope','T-009','Thimble','in_service',6900.0,2020,'focuses by moving the mirror; give it half an hour to cool',2);
INSERT INTO item VALUES(10,'telescope','T-010','The Jackdaw','in_service',9800.0,2016,'dew shield is in the side pocket',1);
INSERT INTO item VALUES(11,'telescope','T-011','Old Bertha''s Sister','in_service',27300.0,2008,'slow to cool, worth the wait',1);
INSERT INTO item VALUES(12,'telescope','T-012','The Schoolmaster','in_service',29500.0,2012,'power lead has a mended plug, check it before you go',2);
INSERT INTO item VALUES(13,'telescope','T-013','Threshold','in_service',48600.0,2015,'two people lift the tube, no exceptions',2);
INSERT INTO item VALUES(14,'telescope','T-014','The Ploughman','in_service',21200.0,2013,'mount was rebuilt by the Tuesday group',1);
INSERT INTO item VALUES(15,'telescope','T-015','Big Russet','in_service',29800.0,2010,'base rolls on its own wheels',2);
INSERT INTO item VALUES(16,'telescope','T-016','The Coal Scuttle','in_service',38500.0,2016,'two-part tube, tighten all eight knobs',1);
INSERT INTO item VALUES(17,'telescope','T-017','Goliath''s Teacup','in_service',61000.0,2019,'truss tube; step stool is T-017''s too, bring both back',2);
INSERT INTO item VALUES(18,'telescope','T-018','Tall Nellie','in_service',11800.0,1998,'secondary never measured; steady after the legs were shortened',1);
INSERT INTO item VALUES(19,'telescope','T-019','The Postbox','in_service',2900.0,2022,'red tube, the children''s telescope',1);
INSERT INTO item VALUES(20,'telescope','T-020','The Apprentice','in_service',16400.0,2006,'mirror ground by four members over one winter',1);
INSERT INTO item VALUES(21,'telescope','T-021','Quiet Monday','in_repair',28900.0,2012,'declination axis sticks, waiting for a bearing',1);
INSERT INTO item VALUES(22,'telescope','T-022','The Two-Mirror Project','in_service',25800.0,2003,'member-built Cassegrain, long and dark, lovely on planets',1);
INSERT INTO item VALUES(23,'telescope','T-023','Penny','needs_inspection',5700.0,1988,'focuser slips, find out why before lending',1);
INSERT INTO item VALUES(24,'eyepiece','E-001','3.3 mm wide-field, long relief','in_service',205.0,2019,'relief measured from the raised eyecup',2);
INSERT INTO item VALUES(25,'eyepiece','E-002','4.6 mm wide-field, long relief','in_service',205.0,2019,'',1);
INSERT INTO item VALUES(26,'eyepiece','E-003','5.9 mm wide-field, long relief','in_service',210.0,2016,'',1);
INSERT INTO item VALUES(27,'eyepiece','E-004','5.9 mm wide-field, long relief','in_service',210.0,2020,'bought to match E-003 for public nights',1);
INSERT INTO item VALUES(28,'eyepiece','E-005','7.8 mm wide-field, long relief','in_service',215.0,2016,'',1);
INSERT INTO item VALUES(29,'eyepiece','E-006','9.6 mm wide-field, long relief','in_service',220.0,2016,'',1);
INSERT INTO item VALUES(30,'eyepiece','E-007','9.6 mm wide-field, long relief','in_service',220.0,2020,'eyecup split, still fine',1);
INSERT INTO item VALUES(31,'eyepiece','E-008','12.4 mm wide-field, long relief','in_service',230.0,2015,'public night set',1);
INSERT INTO item VALUES(32,'eyepiece','E-009','12.4 mm wide-field, long relief','in_service',230.0,2015,'public night set',1);
INSERT INTO item VALUES(33,'eyepiece','E-010','12.4 mm wide-field, long relief','in_service',230.0,2020,'public night set, yellow tape round the barrel',1);
INSERT INTO item VALUES(34,'eyepiece','E-011','16.8 mm wide-field, long relief','in_service',240.0,2015,'',1);
INSERT INTO item VALUES(35,'eyepiece','E-012','22.5 mm wide-field, long relief','in_service',260.0,2015,'',2);
INSERT INTO item VALUES(36,'eyepiece','E-013','22.5 mm wide-field, long relief','in_service',260.0,2021,'gift of the Aldous family',1);
INSERT INTO item VALUES(37,'eyepiece','E-014','18.5 mm wide-field, long relief','in_service',265.0,2022,'a favourite, return it promptly',1);
INSERT INTO item VALUES(38,'eyepiece','E-015','14.2 mm wide-field, long relief','in_service',225.0,2012,'older coating, a little warm in tone',1);
INSERT INTO item VALUES(39,'eyepiece','E-016','26 mm wide-field, long relief, wide barrel','in_service',410.0,2018,'field stop sits inside the lens group, not measured',1);
INSERT INTO item VALUES(40,'eyepiece','E-017','26.5 mm wide-field, long relief, wide barrel','in_service',465.0,2018,'',1);
INSERT INTO item VALUES(41,'eyepiece','E-018','31.5 mm wide-field, long relief, wide barrel','in_service',520.0,2014,'',1);
INSERT INTO item VALUES(42,'eyepiece','E-019','31.5 mm wide-field, long relief, wide barrel','in_service',520.0,2021,'second one, because everyone wants the first',1);
INSERT INTO item VALUES(43,'eyepiece','E-020','36 mm wide-field, long relief, wide barrel','in_service',560.0,2014,'heavy, check the balance',1);
INSERT INTO item VALUES(44,'eyepiece','E-021','41 mm wide-field, long relief, wide barrel','in_service',580.0,2017,'',1);
INSERT INTO item VALUES(45,'eyepiece','E-022','5.2 mm wide-field','in_service',180.0,2013,'',1);
INSERT INTO item VALUES(46,'eyepiece','E-023','6.8 mm wide-field','in_service',185.0,2013,'rigid eyecup takes a little of the relief',1);
INSERT INTO item VALUES(47,'eyepiece','E-024','8.3 mm wide-field','in_service',190.0,2013,'',1);
INSERT INTO item VALUES(48,'eyepiece','E-025','10.6 mm wide-field','in_service',195.0,2013,'',1);
INSERT INTO item VALUES(49,'eyepiece','E-026','13.6 mm wide-field','in_service',205.0,2013,'gift of Ffion''s walking group',1);
INSERT INTO item VALUES(50,'eyepiece','E-027','17.4 mm wide-field','in_service',230.0,2013,'',1);
INSERT INTO item VALUES(51,'eyepiece','E-028','6.4 mm wide-field, deep eyecup','in_service',170.0,2010,'says 20 mm on the box, an eye gets 15',1);
INSERT INTO item VALUES(52,'eyepiece','E-029','15.4 mm wide-field, deep eyecup','in_service',195.0,2010,'says 20 mm on the box, an eye gets 15.5',1);
INSERT INTO item VALUES(53,'eyepiece','E-030','3.9 mm wide-field, deep eyecup','in_service',165.0,2010,'',1);
INSERT INTO item VALUES(54,'eyepiece','E-031','4.2 mm very wide field, short relief','in_service',250.0,2011,'',2);
INSERT INTO item VALUES(55,'eyepiece','E-032','6.6 mm very wide field, short relief','in_service',260.0,2011,'tacky rubber, being looked into',1);
INSERT INTO item VALUES(56,'eyepiece','E-033','8.8 mm very wide field, short relief','in_service',270.0,2011,'',1);
INSERT INTO item VALUES(57,'eyepiece','E-034','10.8 mm very wide field, short relief','in_service',290.0,2011,'',1);
INSERT INTO item VALUES(58,'eyepiece','E-035','15.2 mm very wide field','in_service',340.0,2011,'',1);
INSERT INTO item VALUES(59,'eyepiece','E-036','19.2 mm very wide field','in_service',390.0,2012,'fills its barrel to the edge',1);
INSERT INTO item VALUES(60,'eyepiece','E-037','28.5 mm very wide field, wide barrel','in_service',985.0,2012,'nearly a kilogram, tighten both screws',1);
INSERT INTO item VALUES(61,'eyepiece','E-038','9.2 mm widest field, wide barrel','in_service',560.0,2018,'',1);
INSERT INTO item VALUES(62,'eyepiece','E-039','14.3 mm widest field, wide barrel','in_service',690.0,2018,'',1);
INSERT INTO item VALUES(63,'eyepiece','E-040','20.5 mm widest field, wide barrel','in_service',1010.0,2018,'over a kilogram, too much for the small ones',1);
INSERT INTO item VALUES(64,'eyepiece','E-041','5.4 mm widest field','in_service',480.0,2021,'left to the club by its founder treasurer',2);
INSERT INTO item VALUES(65,'eyepiece','E-042','4 mm four-element','in_service',62.0,2004,'like looking through a keyhole',1);
INSERT INTO item VALUES(66,'eyepiece','E-043','6.3 mm four-element','in_service',65.0,2004,'',1);
INSERT INTO item VALUES(67,'eyepiece','E-044','7.5 mm four-element','in_service',68.0,2007,'',1);
INSERT INTO item VALUES(68,'eyepiece','E-045','10 mm four-element','in_service',74.0,2003,'',1);
INSERT INTO item VALUES(69,'eyepiece','E-046','10 mm four-element','in_service',74.0,2003,'engraving worn, it is a ten',1);
INSERT INTO item VALUES(70,'eyepiece','E-047','12.5 mm four-element','in_service',80.0,2007,'',1);
INSERT INTO item VALUES(71,'eyepiece','E-048','15.5 mm four-element','in_service',88.0,2007,'',1);
INSERT INTO item VALUES(72,'eyepiece','E-049','20 mm four-element','in_service',96.0,2007,'',1);
INSERT INTO item VALUES(73,'eyepiece','E-050','25 mm four-element','in_service',112.0,2003,'beginners'' box',1);
INSERT INTO item VALUES(74,'eyepiece','E-051','25 mm four-element','in_service',112.0,2003,'beginners'' box',1);
INSERT INTO item VALUES(75,'eyepiece','E-052','25 mm four-element','in_service',112.0,2006,'beginners'' box, small chip at the rim, harmless',1);
INSERT INTO item VALUES(76,'eyepiece','E-053','25 mm four-element','in_service',112.0,2009,'beginners'' box, bought with cake-sale money',1);
INSERT INTO item VALUES(77,'eyepiece','E-054','32 mm four-element','in_service',138.0,2007,'',1);
INSERT INTO item VALUES(78,'eyepiece','E-055','32 mm four-element','in_service',138.0,2013,'lives with the Apprentice',1);
INSERT INTO item VALUES(79,'eyepiece','E-056','40 mm four-element','in_service',165.0,2005,'narrow view but kind to glasses',1);
INSERT INTO item VALUES(80,'eyepiece','E-057','42 mm four-element, wide barrel','in_service',395.0,2006,'',1);
INSERT INTO item VALUES(81,'eyepiece','E-058','56 mm four-element, wide barrel','in_service',470.0,2001,'for the longest focal lengths only',1);
INSERT INTO item VALUES(82,'eyepiece','E-059','5 mm four-element, flat field','in_service',58.0,1996,'sharp as a tack, bring patience',1);
INSERT INTO item VALUES(83,'eyepiece','E-060','7 mm four-element, flat field','in_service',60.0,1996,'',1);
INSERT INTO item VALUES(84,'eyepiece','E-061','9 mm four-element, flat field','in_service',62.0,1996,'',1);
INSERT INTO item VALUES(85,'eyepiece','E-062','12 mm four-element, flat field','in_service',66.0,1996,'',1);
INSERT INTO item VALUES(86,'eyepiece','E-063','18 mm four-element, flat field','in_service',78.0,1996,'',1);
INSERT INTO item VALUES(87,'eyepiece','E-064','30 mm four-element','in_service',130.0,1999,'',1);
INSERT INTO item VALUES(88,'eyepiece','E-065','6 mm three-element','in_service',48.0,1991,'short relief, for young eyes only',1);
INSERT INTO item VALUES(89,'eyepiece','E-066','9 mm three-element','in_service',50.0,1991,'',1);
INSERT INTO item VALUES(90,'eyepiece','E-067','12 mm three-element','in_service',52.0,1991,'',1);
INSERT INTO item VALUES(91,'eyepiece','E-068','17 mm three-element','in_service',58.0,1993,'',1);
INSERT INTO item VALUES(92,'eyepiece','E-069','20 mm three-element','in_service',64.0,1990,'came with T-018',1);
INSERT INTO item VALUES(93,'eyepiece','E-070','25 mm three-element','in_service',70.0,1990,'',1);
INSERT INTO item VALUES(94,'eyepiece','E-071','28 mm three-element','in_service',82.0,1986,'field edge is soft, nobody could measure the stop',1);
INSERT INTO item VALUES(95,'eyepiece','E-072','36 mm three-element, long relief','in_service',118.0,2002,'',1);
INSERT INTO item VALUES(96,'eyepiece','E-073','50 mm three-element, wide barrel','in_service',355.0,1995,'fine at f/10, poor in the fast ones',1);
INSERT INTO item VALUES(97,'eyepiece','E-074','20 mm two-lens','in_service',45.0,1989,'',1);
INSERT INTO item VALUES(98,'eyepiece','E-075','12.5 mm two-lens','in_service',42.0,1989,'kept to show what a simple lens does',1);
INSERT INTO item VALUES(99,'eyepiece','E-076','4 mm two-lens, narrow barrel','in_service',22.0,1974,'more power than the Attic Sixty can use',1);
INSERT INTO item VALUES(100,'eyepiece','E-077','12.5 mm two-lens, narrow barrel','in_service',25.0,1974,'',1);
INSERT INTO item VALUES(101,'eyepiece','E-078','20 mm two-lens, narrow barrel','in_service',28.0,1974,'the original, keep it with T-005',1);
INSERT INTO item VALUES(102,'eyepiece','E-079','7 mm four-element, narrow barrel','in_service',34.0,1979,'',1);
INSERT INTO item VALUES(103,'eyepiece','E-080','9 mm four-element, narrow barrel','in_service',36.0,1979,'',1);
INSERT INTO item VALUES(104,'eyepiece','E-081','12.5 mm four-element, narrow barrel','in_service',38.0,1979,'',1);
INSERT INTO item VALUES(105,'eyepiece','E-082','18 mm four-element, narrow barrel','in_service',44.0,1979,'the best of the narrow ones',1);
INSERT INTO item VALUES(106,'eyepiece','E-083','25 mm three-element, narrow barrel','in_service',48.0,1981,'',1);
INSERT INTO item VALUES(107,'eyepiece','E-084','30 mm three-element, narrow barrel','in_service',55.0,1983,'relief from the paper that came with it',1);
INSERT INTO item VALUES(108,'eyepiece','E-085','11.2 mm three-element, no markings','in_service',55.0,1985,'focal length found by drift timing, the rest is a guess nobody made',1);
INSERT INTO item VALUES(109,'eyepiece','E-086','16 mm wide-field, second-hand','in_service',NULL,1994,'eye relief never measured',1);
INSERT INTO item VALUES(110,'eyepiece','E-087','24 mm wide-field','in_service',NULL,2001,'needs to be weighed',1);
INSERT INTO item VALUES(111,'eyepiece','E-088','35 mm four-element, wide barrel','in_service',NULL,1987,'came in a box of mixed parts',1);
INSERT INTO item VALUES(112,'eyepiece','E-089','2.5 mm wide-field, long relief','in_service',200.0,2019,'almost too strong for our sky, lend with a warning',1);
INSERT INTO item VALUES(113,'eyepiece','E-090','21 mm wide-field, long relief','needs_inspection',250.0,2015,'fungus spot, booked for cleaning',1);
INSERT INTO item VALUES(114,'eyepiece','E-091','8.6 mm wide-field, long relief','in_repair',215.0,2015,'dropped at the spring camp',1);
INSERT INTO item VALUES(115,'eyepiece','E-092','13 mm very wide field','missing',310.0,2011,'not seen since the harvest fair',1);
INSERT INTO item VALUES(116,'eyepiece','E-093','10 mm three-element','retired',50.0,1987,'cement gone cloudy',1);
INSERT INTO item VALUES(117,'barlow','B-01','2× Barlow','in_service',115.0,2009,'',2);
INSERT INTO item VALUES(118,'barlow','B-02','2× Barlow','in_service',115.0,2014,'twin of B-01, blue dot on the box',1);
INSERT INTO item VALUES(119,'barlow','B-03','1.5× Barlow, gentle','in_service',98.0,2013,'turns a 12 into an 8',1);
INSERT INTO item VALUES(120,'barlow','B-04','2.5× telecentric','in_service',165.0,2017,'keeps the eye relief as it is',1);
INSERT INTO item VALUES(121,'barlow','B-05','3× Barlow','in_service',128.0,2005,'for the short refractors',1);
INSERT INTO item VALUES(122,'barlow','B-06','2× telecentric, wide barrel','in_service',420.0,2018,'heavy with a heavy eyepiece on it, mind the balance',1);
INSERT INTO item VALUES(123,'barlow','B-07','5× telecentric','in_service',190.0,2016,'for the camera people, hardly ever for the eye',1);
INSERT INTO item VALUES(124,'barlow','B-08','2× Barlow, narrow barrel','in_service',46.0,1979,'the Attic Sixty''s own',1);
INSERT INTO item VALUES(125,'barlow','B-09','4× telecentric, wide barrel','in_service',455.0,2020,'',1);
INSERT INTO item VALUES(126,'barlow','B-10','1.6× Barlow, wide barrel','in_service',340.0,2015,'good company for the 31.5 mm',1);
INSERT INTO item VALUES(127,'barlow','B-11','1.8× Barlow, no papers','in_service',NULL,1992,'factor found by measuring a drift, kind unknown',1);
INSERT INTO item VALUES(128,'barlow','B-12','2.2× Barlow','needs_inspection',120.0,2003,'lens rattles',1);
INSERT INTO item VALUES(129,'filter','F-01','Full-aperture solar filter for the Heron','in_service',140.0,2022,'three nylon screws, all must be in',2);
INSERT INTO item VALUES(130,'filter','F-02','Full-aperture solar filter for the Thimble','in_service',165.0,2022,'',1);
INSERT INTO item VALUES(131,'filter','F-03','Full-aperture solar filter for the Orchard','in_service',310.0,2024,'cap and finder cover are part of the set',1);
INSERT INTO item VALUES(132,'filter','F-04','Full-aperture solar filter for the Postbox','in_service',95.0,2023,'the children''s day set',1);
INSERT INTO item VALUES(133,'filter','F-05','Full-aperture solar filter, 130 to 146 mm tubes','in_service',210.0,2017,'light test overdue, not for the Sun until it is done',1);
INSERT INTO item VALUES(134,'filter','F-06','Full-aperture solar filter for Marigold','needs_inspection',170.0,2019,'pinholes near the rim, do not lend',1);
INSERT INTO item VALUES(135,'filter','F-07','Full-aperture solar filter, 150 to 168 mm tubes','in_service',240.0,2021,'measure the tube at the front before you book it',1);
INSERT INTO item VALUES(136,'filter','F-08','Moon filter, 13 per cent','in_service',12.0,2010,'',1);
INSERT INTO item VALUES(137,'filter','F-09','Moon filter, 25 per cent','in_service',12.0,2010,'thread a little stiff',1);
INSERT INTO item VALUES(138,'filter','F-10','Moon filter, 13 per cent, wide barrel','in_service',24.0,2018,'',1);
INSERT INTO item VALUES(139,'filter','F-11','Nebula filter, narrow band','in_service',14.0,2016,'the one to take to the moor',1);
INSERT INTO item VALUES(140,'filter','F-12','Nebula filter, narrow band, wide barrel','in_service',28.0,2016,'',1);
INSERT INTO item VALUES(141,'filter','F-13','Nebula filter, single line, wide barrel','in_service',28.0,2019,'needs a large aperture to shine',1);
INSERT INTO item VALUES(142,'filter','F-14','Light yellow filter','in_service',11.0,1999,'',1);
INSERT INTO item VALUES(143,'filter','F-15','Orange filter','in_service',11.0,1999,'for Mars years',1);
INSERT INTO item VALUES(144,'filter','F-16','Pale blue filter','in_repair',11.0,1999,'cracked across, glass on order',1);
INSERT INTO item VALUES(145,'filter','F-17','Variable polarising filter','in_service',26.0,2014,'turn the ring, not the eyepiece',1);
INSERT INTO item VALUES(146,'filter','F-18','Polarising filter, wide barrel','in_service',34.0,2020,'',1);
INSERT INTO item VALUES(147,'accessory','A-01','Mirror diagonal for the Heron','in_service',310.0,2019,'lives in the Heron''s case; keep the dust plug in',1);
INSERT INTO item VALUES(148,'accessory','A-02','Prism diagonal, standard','in_service',120.0,2011,'',1);
INSERT INTO item VALUES(149,'accessory','A-03','Prism diagonal, standard','needs_inspection',120.0,2014,'rattles when shaken',1);
INSERT INTO item VALUES(150,'accessory','A-04','Upright-image diagonal','in_service',150.0,2016,'for looking at the village, not the planets',1);
INSERT INTO item VALUES(151,'accessory','A-05','Coma corrector for the big reflectors','in_service',425.0,2021,'the scale on the drawtube is for our own eyepieces',2);
INSERT INTO item VALUES(152,'accessory','A-06','Coma corrector, older','in_service',390.0,2013,'',1);
INSERT INTO item VALUES(153,'accessory','A-07','Power pack, 84 Wh','in_service',690.0,2022,'charge it the night before, indoors',2);
INSERT INTO item VALUES(154,'accessory','A-08','Power pack, 84 Wh','in_service',690.0,2022,'',1);
INSERT INTO item VALUES(155,'accessory','A-09','Power pack, large','in_repair',2900.0,2018,'swollen cell; do not charge it',1);
INSERT INTO item VALUES(156,'accessory','A-10','Padded case for a dozen eyepieces','in_service',1400.0,2017,'',1);
INSERT INTO item VALUES(157,'accessory','A-11','Trolley, two wheels','in_service',5200.0,2012,'carries the Ploughman over gravel',1);
INSERT INTO item VALUES(158,'accessory','A-12','Red-dot finder','in_service',85.0,2020,'takes a flat cell; the spare is taped inside',1);
INSERT INTO item VALUES(159,'accessory','A-13','Straight finder, 9 × 50','in_service',480.0,2009,'cap it whenever the Sun is up',1);
INSERT INTO item VALUES(160,'accessory','A-14','Folding table for the small telescopes','in_service',7400.0,2018,'',1);
INSERT INTO item VALUES(161,'accessory','A-15','Observing chair','in_service',6100.0,2023,'',1);
CREATE TABLE telescope (
    item_id                INTEGER PRIMARY KEY,
    item_kind              TEXT NOT NULL DEFAULT 'telescope'
        CONSTRAINT telescope_kind CHECK (item_kind = 'telescope'),
    layout                 TEXT NOT NULL
        CONSTRAINT telescope_layout CHECK (
            layout IN ('refractor', 'newtonian', 'schmidt_cassegrain', 'maksutov_cassegrain',
                       'other', 'unknown')
        ),
    aperture_mm            REAL NOT NULL
        CONSTRAINT telescope_aperture CHECK (aperture_mm BETWEEN 30 AND 3000),
    focal_length_mm        REAL NOT NULL
        CONSTRAINT telescope_focal_length CHECK (focal_length_mm BETWEEN 100 AND 30000),
    central_obstruction_mm REAL
        CONSTRAINT telescope_obstruction CHECK (
            central_obstruction_mm BETWEEN 0 AND 2000 AND central_obstruction_mm < aperture_mm
        ),
    focuser_barrel_mm      REAL
        CONSTRAINT telescope_focuser_barrel CHECK (focuser_barrel_mm IN (24.5, 31.75, 50.8)),
    focuser_travel_mm      REAL
        CONSTRAINT telescope_focuser_travel CHECK (focuser_travel_mm BETWEEN 0 AND 500),
    balance_limit_g        REAL
        CONSTRAINT telescope_balance_limit CHECK (balance_limit_g BETWEEN 1 AND 200000),
    mount                  TEXT
        CONSTRAINT telescope_mount CHECK (
            mount IN ('dobsonian', 'tabletop', 'altazimuth', 'equatorial')
        ),
    tracking               INTEGER CONSTRAINT telescope_tracking CHECK (tracking IN (0, 1)),
    heaviest_part_mass_g   REAL
        CONSTRAINT telescope_heaviest_part CHECK (heaviest_part_mass_g BETWEEN 1 AND 200000),
    eyepiece_height_min_mm REAL
        CONSTRAINT telescope_eyepiece_height_min CHECK (eyepiece_height_min_mm BETWEEN 0 AND 10000),
    eyepiece_height_max_mm REAL
        CONSTRAINT telescope_eyepiece_height_max CHECK (eyepiece_height_max_mm BETWEEN 0 AND 10000),
    -- People needed besides the borrower.
    helpers                INTEGER
        CONSTRAINT telescope_helpers CHECK (helpers BETWEEN 0 AND 20), tube_outer_diameter_mm REAL
    CONSTRAINT telescope_tube CHECK (tube_outer_diameter_mm BETWEEN 20 AND 4000),
    CONSTRAINT telescope_focal_ratio CHECK (focal_length_mm / aperture_mm BETWEEN 1 AND 100),
    CONSTRAINT telescope_refractor_is_clear CHECK (
        layout <> 'refractor' OR central_obstruction_mm IS NULL OR central_obstruction_mm = 0
    ),
    CONSTRAINT telescope_eyepiece_heights CHECK (eyepiece_height_min_mm <= eyepiece_height_max_mm),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
INSERT INTO telescope VALUES(1,'telescope','newtonian',203.0,1200.0,52.0,50.799999999999997158,38.0,900.0,'dobsonian',0,10900.0,800.0,1210.0,0,238.0);
INSERT INTO telescope VALUES(2,'telescope','newtonian',114.0,500.0,38.0,31.749999999999999999,24.0,400.0,'tabletop',0,4600.0,950.0,1200.0,0,NULL);
INSERT INTO telescope VALUES(3,'telescope','newtonian',130.0,650.0,44.0,31.749999999999999999,28.0,450.0,'tabletop',0,6300.0,980.0,1260.0,0,NULL);
INSERT INTO telescope VALUES(4,'telescope','refractor',80.0,480.0,NULL,50.799999999999997158,72.0,1100.0,'altazimuth',0,3400.0,950.0,1450.0,0,98.0);
INSERT INTO telescope VALUES(5,'telescope','refractor',60.0,700.0,NULL,24.5,90.0,200.0,'equatorial',0,3800.0,900.0,1500.0,0,NULL);
INSERT INTO telescope VALUES(6,'telescope','refractor',90.0,900.0,NULL,31.749999999999999999,95.0,600.0,'altazimuth',0,4700.0,850.0,1550.0,0,NULL);
INSERT INTO telescope VALUES(7,'telescope','refractor',102.0,660.0,NULL,50.799999999999997158,80.0,1200.0,'altazimuth',0,4400.0,950.0,1500.0,0,122.0);
INSERT INTO telescope VALUES(8,'telescope','refractor',120.0,900.0,NULL,50.799999999999997158,85.0,1600.0,'equatorial',1,12800.0,800.0,1600.0,1,140.0);
INSERT INTO telescope VALUES(9,'telescope','maksutov_cassegrain',102.0,1300.0,34.0,31.749999999999999999,NULL,700.0,'altazimuth',1,3600.0,950.0,1350.0,0,118.0);
INSERT INTO telescope VALUES(10,'telescope','maksutov_cassegrain',127.0,1540.0,42.0,31.749999999999999999,NULL,900.0,'altazimuth',1,5200.0,950.0,1380.0,0,152.0);
INSERT INTO telescope VALUES(11,'telescope','maksutov_cassegrain',150.0,1800.0,52.0,50.799999999999997158,NULL,1300.0,'equatorial',1,13600.0,900.0,1450.0,1,182.0);
INSERT INTO telescope VALUES(12,'telescope','schmidt_cassegrain',203.0,2030.0,69.0,50.799999999999997158,NULL,1500.0,'equatorial',1,14200.0,900.0,1450.0,1,NULL);
INSERT INTO telescope VALUES(13,'telescope','schmidt_cassegrain',254.0,2540.0,92.0,50.799999999999997158,NULL,2000.0,'equatorial',1,21500.0,950.0,1500.0,2,NULL);
INSERT INTO telescope VALUES(14,'telescope','newtonian',150.0,750.0,50.0,50.799999999999997158,42.0,1000.0,'equatorial',1,11800.0,850.0,1500.0,0,NULL);
INSERT INTO telescope VALUES(15,'telescope','newtonian',254.0,1270.0,62.0,50.799999999999997158,40.0,1100.0,'dobsonian',0,16400.0,780.0,1290.0,1,NULL);
INSERT INTO telescope VALUES(16,'telescope','newtonian',305.0,1525.0,70.0,50.799999999999997158,44.0,1300.0,'dobsonian',0,20600.0,850.0,1530.0,2,NULL);
INSERT INTO telescope VALUES(17,'telescope','newtonian',406.0,1829.0,90.0,50.799999999999997158,50.0,1500.0,'dobsonian',0,24800.0,820.0,1820.0,2,NULL);
INSERT INTO telescope VALUES(18,'telescope','newtonian',114.0,900.0,NULL,31.749999999999999999,30.0,500.0,'equatorial',0,6900.0,800.0,1350.0,0,NULL);
INSERT INTO telescope VALUES(19,'telescope','refractor',70.0,400.0,NULL,31.749999999999999999,60.0,450.0,'tabletop',0,2900.0,900.0,1200.0,0,84.0);
INSERT INTO telescope VALUES(20,'telescope','newtonian',152.0,1200.0,36.0,31.749999999999999999,NULL,650.0,'dobsonian',0,9300.0,760.0,1200.0,0,NULL);
INSERT INTO telescope VALUES(21,'telescope','newtonian',200.0,1000.0,58.0,50.799999999999997158,40.0,1100.0,'equatorial',1,12600.0,850.0,1600.0,1,NULL);
INSERT INTO telescope VALUES(22,'telescope','other',160.0,2080.0,48.0,50.799999999999997158,66.0,1100.0,'equatorial',1,12100.0,900.0,1450.0,1,NULL);
INSERT INTO telescope VALUES(23,'telescope','newtonian',76.0,700.0,24.0,24.5,NULL,150.0,'equatorial',0,3300.0,800.0,1300.0,0,NULL);
CREATE TABLE eyepiece (
    item_id               INTEGER PRIMARY KEY,
    item_kind             TEXT NOT NULL DEFAULT 'eyepiece'
        CONSTRAINT eyepiece_kind CHECK (item_kind = 'eyepiece'),
    focal_length_mm       REAL NOT NULL
        CONSTRAINT eyepiece_focal_length CHECK (focal_length_mm BETWEEN 1.5 AND 100),
    apparent_field_deg    REAL
        CONSTRAINT eyepiece_apparent_field CHECK (apparent_field_deg BETWEEN 15 AND 130),
    field_stop_mm         REAL
        CONSTRAINT eyepiece_field_stop CHECK (field_stop_mm BETWEEN 1 AND 60),
    eye_relief_mm         REAL
        CONSTRAINT eyepiece_eye_relief CHECK (eye_relief_mm BETWEEN 0 AND 60),
    -- Measured by somebody; counts before the maker's figure.
    usable_eye_relief_mm  REAL
        CONSTRAINT eyepiece_usable_eye_relief CHECK (usable_eye_relief_mm BETWEEN 0 AND 60),
    barrel_mm             REAL
        CONSTRAINT eyepiece_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    optical_class         TEXT
        CONSTRAINT eyepiece_optical_class CHECK (
            optical_class IN ('two_lens', 'three_element', 'four_element', 'wide_field')
        ),
    CONSTRAINT eyepiece_field_stop_fits_barrel CHECK (
        field_stop_mm <= CASE barrel_mm WHEN 24.5 THEN 23.0 WHEN 31.75 THEN 27.5 WHEN 50.8 THEN 46.5 END
    ),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
INSERT INTO eyepiece VALUES(24,'eyepiece',3.2999999999999998223,62.0,3.6000000000000000888,20.0,18.0,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(25,'eyepiece',4.5999999999999996447,62.0,5.0,20.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(26,'eyepiece',5.9000000000000003552,62.0,6.4000000000000003552,20.499999999999999999,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(27,'eyepiece',5.9000000000000003552,62.0,6.4000000000000003552,20.499999999999999999,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(28,'eyepiece',7.7999999999999998223,62.0,8.4000000000000003552,20.499999999999999999,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(29,'eyepiece',9.5999999999999996447,62.0,10.400000000000000355,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(30,'eyepiece',9.5999999999999996447,62.0,10.400000000000000355,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(31,'eyepiece',12.400000000000000355,62.0,13.400000000000000354,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(32,'eyepiece',12.400000000000000355,62.0,13.400000000000000354,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(33,'eyepiece',12.400000000000000355,62.0,13.400000000000000354,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(34,'eyepiece',16.80000000000000071,62.0,18.199999999999999289,21.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(35,'eyepiece',22.5,64.0,25.10000000000000142,21.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(36,'eyepiece',22.5,64.0,25.10000000000000142,21.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(37,'eyepiece',18.5,64.0,20.69999999999999929,22.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(38,'eyepiece',14.199999999999999289,60.0,14.900000000000000355,20.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(39,'eyepiece',26.0,62.0,NULL,22.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(40,'eyepiece',26.5,66.0,30.499999999999999999,22.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(41,'eyepiece',31.5,66.0,36.299999999999997158,23.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(42,'eyepiece',31.5,66.0,36.299999999999997158,23.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(43,'eyepiece',36.0,66.0,41.5,25.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(44,'eyepiece',41.0,60.0,42.899999999999998577,26.0,24.0,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(45,'eyepiece',5.2000000000000001776,70.0,6.4000000000000003552,16.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(46,'eyepiece',6.7999999999999998223,70.0,8.3000000000000007105,16.0,14.5,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(47,'eyepiece',8.3000000000000007105,70.0,10.099999999999999644,16.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(48,'eyepiece',10.599999999999999644,70.0,13.0,16.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(49,'eyepiece',13.599999999999999644,70.0,16.600000000000001421,17.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(50,'eyepiece',17.399999999999998578,70.0,21.30000000000000071,17.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(51,'eyepiece',6.4000000000000003552,60.0,6.7000000000000001776,20.0,15.0,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(52,'eyepiece',15.400000000000000355,65.0,17.5,20.0,15.499999999999999999,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(53,'eyepiece',3.8999999999999999111,60.0,4.0999999999999996447,16.0,13.5,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(54,'eyepiece',4.2000000000000001776,80.0,5.9000000000000003552,12.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(55,'eyepiece',6.5999999999999996447,80.0,9.1999999999999992894,12.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(56,'eyepiece',8.8000000000000007105,80.0,12.30000000000000071,12.5,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(57,'eyepiece',10.80000000000000071,80.0,15.099999999999999644,13.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(58,'eyepiece',15.199999999999999289,80.0,21.199999999999999289,15.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(59,'eyepiece',19.199999999999999289,80.0,26.800000000000000709,16.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(60,'eyepiece',28.499999999999999999,82.0,40.799999999999997158,18.5,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(61,'eyepiece',9.1999999999999992894,98.0,15.699999999999999289,15.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(62,'eyepiece',14.30000000000000071,98.0,24.5,15.0,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(63,'eyepiece',20.499999999999999999,98.0,35.10000000000000142,15.499999999999999999,NULL,50.799999999999997158,'wide_field');
INSERT INTO eyepiece VALUES(64,'eyepiece',5.4000000000000003552,98.0,9.1999999999999992894,15.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(65,'eyepiece',4.0,50.0,3.5,2.7999999999999998223,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(66,'eyepiece',6.2999999999999998223,52.0,5.7000000000000001776,4.5999999999999996447,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(67,'eyepiece',7.5,52.0,6.7999999999999998223,5.2999999999999998223,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(68,'eyepiece',10.0,52.0,9.0999999999999996447,7.0999999999999996447,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(69,'eyepiece',10.0,52.0,9.0999999999999996447,7.0999999999999996447,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(70,'eyepiece',12.5,52.0,11.30000000000000071,9.0,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(71,'eyepiece',15.499999999999999999,52.0,14.099999999999999645,11.199999999999999289,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(72,'eyepiece',20.0,52.0,18.199999999999999289,14.599999999999999644,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(73,'eyepiece',25.0,52.0,22.699999999999999288,18.199999999999999289,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(74,'eyepiece',25.0,52.0,22.699999999999999288,18.199999999999999289,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(75,'eyepiece',25.0,52.0,22.699999999999999288,18.199999999999999289,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(76,'eyepiece',25.0,52.0,22.699999999999999288,18.199999999999999289,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(77,'eyepiece',32.0,48.0,26.800000000000000709,22.5,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(78,'eyepiece',32.0,48.0,26.800000000000000709,22.5,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(79,'eyepiece',40.0,38.0,26.5,28.499999999999999999,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(80,'eyepiece',42.0,56.0,41.100000000000001419,29.0,NULL,50.799999999999997158,'four_element');
INSERT INTO eyepiece VALUES(81,'eyepiece',56.0,46.0,45.0,38.0,NULL,50.799999999999997158,'four_element');
INSERT INTO eyepiece VALUES(82,'eyepiece',5.0,42.0,3.7000000000000001776,3.8999999999999999111,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(83,'eyepiece',7.0,42.0,5.0999999999999996447,5.5999999999999996447,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(84,'eyepiece',9.0,42.0,6.5999999999999996447,7.2000000000000001776,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(85,'eyepiece',12.0,42.0,8.8000000000000007105,9.5999999999999996447,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(86,'eyepiece',18.0,42.0,13.199999999999999289,14.400000000000000355,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(87,'eyepiece',30.0,45.0,23.600000000000001421,23.0,NULL,31.749999999999999999,'four_element');
INSERT INTO eyepiece VALUES(88,'eyepiece',6.0,40.0,4.2000000000000001776,2.3999999999999999111,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(89,'eyepiece',9.0,40.0,6.2999999999999998223,3.7999999999999998223,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(90,'eyepiece',12.0,42.0,8.8000000000000007105,5.4000000000000003552,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(91,'eyepiece',17.0,44.0,13.099999999999999644,8.0,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(92,'eyepiece',20.0,45.0,15.699999999999999289,9.8000000000000007105,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(93,'eyepiece',25.0,45.0,19.600000000000001421,12.400000000000000355,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(94,'eyepiece',28.0,44.0,NULL,16.5,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(95,'eyepiece',36.0,42.0,26.399999999999998578,24.0,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(96,'eyepiece',50.0,48.0,41.899999999999998578,31.0,NULL,50.799999999999997158,'three_element');
INSERT INTO eyepiece VALUES(97,'eyepiece',20.0,36.0,12.599999999999999644,9.5,NULL,31.749999999999999999,'two_lens');
INSERT INTO eyepiece VALUES(98,'eyepiece',12.5,34.0,7.4000000000000003552,4.2000000000000001776,NULL,31.749999999999999999,'two_lens');
INSERT INTO eyepiece VALUES(99,'eyepiece',4.0,32.0,2.2000000000000001776,1.5,NULL,24.5,'two_lens');
INSERT INTO eyepiece VALUES(100,'eyepiece',12.5,36.0,7.9000000000000003552,4.4000000000000003552,NULL,24.5,'two_lens');
INSERT INTO eyepiece VALUES(101,'eyepiece',20.0,38.0,13.30000000000000071,8.5,NULL,24.5,'two_lens');
INSERT INTO eyepiece VALUES(102,'eyepiece',7.0,40.0,4.9000000000000003552,5.4000000000000003552,NULL,24.5,'four_element');
INSERT INTO eyepiece VALUES(103,'eyepiece',9.0,42.0,6.5999999999999996447,7.0,NULL,24.5,'four_element');
INSERT INTO eyepiece VALUES(104,'eyepiece',12.5,42.0,9.1999999999999992894,9.8000000000000007105,NULL,24.5,'four_element');
INSERT INTO eyepiece VALUES(105,'eyepiece',18.0,42.0,13.199999999999999289,14.199999999999999289,NULL,24.5,'four_element');
INSERT INTO eyepiece VALUES(106,'eyepiece',25.0,45.0,19.600000000000001421,18.0,NULL,24.5,'three_element');
INSERT INTO eyepiece VALUES(107,'eyepiece',30.0,42.0,22.0,17.0,NULL,24.5,'three_element');
INSERT INTO eyepiece VALUES(108,'eyepiece',11.199999999999999289,NULL,NULL,NULL,NULL,31.749999999999999999,'three_element');
INSERT INTO eyepiece VALUES(109,'eyepiece',16.0,65.0,18.199999999999999289,NULL,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(110,'eyepiece',24.0,60.0,25.10000000000000142,17.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(111,'eyepiece',35.0,NULL,30.499999999999999999,NULL,NULL,50.799999999999997158,'four_element');
INSERT INTO eyepiece VALUES(112,'eyepiece',2.5,62.0,2.7000000000000001776,20.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(113,'eyepiece',21.0,62.0,22.699999999999999288,20.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(114,'eyepiece',8.5999999999999996447,62.0,9.3000000000000007105,20.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(115,'eyepiece',13.0,80.0,18.199999999999999289,14.0,NULL,31.749999999999999999,'wide_field');
INSERT INTO eyepiece VALUES(116,'eyepiece',10.0,40.0,7.0,4.2000000000000001776,NULL,31.749999999999999999,'three_element');
CREATE TABLE barlow (
    item_id   INTEGER PRIMARY KEY,
    item_kind TEXT NOT NULL DEFAULT 'barlow'
        CONSTRAINT barlow_item_kind CHECK (item_kind = 'barlow'),
    factor    REAL NOT NULL CONSTRAINT barlow_factor CHECK (factor BETWEEN 1.01 AND 6),
    barrel_mm REAL CONSTRAINT barlow_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    kind      TEXT CONSTRAINT barlow_kind CHECK (kind IN ('plain', 'telecentric')),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
INSERT INTO barlow VALUES(117,'barlow',2.0,31.749999999999999999,'plain');
INSERT INTO barlow VALUES(118,'barlow',2.0,31.749999999999999999,'plain');
INSERT INTO barlow VALUES(119,'barlow',1.5,31.749999999999999999,'plain');
INSERT INTO barlow VALUES(120,'barlow',2.5,31.749999999999999999,'telecentric');
INSERT INTO barlow VALUES(121,'barlow',3.0,31.749999999999999999,'plain');
INSERT INTO barlow VALUES(122,'barlow',2.0,50.799999999999997158,'telecentric');
INSERT INTO barlow VALUES(123,'barlow',5.0,31.749999999999999999,'telecentric');
INSERT INTO barlow VALUES(124,'barlow',2.0,24.5,'plain');
INSERT INTO barlow VALUES(125,'barlow',4.0,50.799999999999997158,'telecentric');
INSERT INTO barlow VALUES(126,'barlow',1.6000000000000000888,50.799999999999997158,'plain');
INSERT INTO barlow VALUES(127,'barlow',1.8000000000000000444,31.749999999999999999,NULL);
INSERT INTO barlow VALUES(128,'barlow',2.2000000000000001776,31.749999999999999999,'plain');
CREATE TABLE filter (
    item_id                    INTEGER PRIMARY KEY,
    item_kind                  TEXT NOT NULL DEFAULT 'filter'
        CONSTRAINT filter_item_kind CHECK (item_kind = 'filter'),
    kind                       TEXT NOT NULL
        CONSTRAINT filter_kind CHECK (
            kind IN ('solar_full_aperture', 'moon', 'nebula', 'colour', 'polarising')
        ),
    barrel_mm                  REAL
        CONSTRAINT filter_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    -- The telescope it was made for.
    fits_telescope_id          INTEGER REFERENCES telescope (item_id),
    -- The tubes it goes over.
    fits_outer_diameter_min_mm REAL
        CONSTRAINT filter_fits_min CHECK (fits_outer_diameter_min_mm BETWEEN 20 AND 4000),
    fits_outer_diameter_max_mm REAL
        CONSTRAINT filter_fits_max CHECK (fits_outer_diameter_max_mm BETWEEN 20 AND 4000),
    -- A real date: 31 February comes back from date() as another day.
    last_light_test            TEXT
        CONSTRAINT filter_last_light_test CHECK (
            length(last_light_test) = 10 AND last_light_test = date(last_light_test)
        ),
    damaged                    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT filter_damaged CHECK (damaged IN (0, 1)),
    CONSTRAINT filter_fits CHECK (fits_outer_diameter_min_mm <= fits_outer_diameter_max_mm),
    -- One that screws into an eyepiece sits where the Sun's heat gathers, and bursts.
    CONSTRAINT filter_solar_goes_in_front CHECK (
        kind <> 'solar_full_aperture' OR barrel_mm IS NULL
    ),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
INSERT INTO "filter" VALUES(129,'filter','solar_full_aperture',NULL,4,96.0,102.0,'2026-04-18',0);
INSERT INTO "filter" VALUES(130,'filter','solar_full_aperture',NULL,9,116.0,122.0,'2026-04-18',0);
INSERT INTO "filter" VALUES(131,'filter','solar_full_aperture',NULL,1,234.0,244.0,'2026-05-09',0);
INSERT INTO "filter" VALUES(132,'filter','solar_full_aperture',NULL,19,80.0,86.0,'2025-09-27',0);
INSERT INTO "filter" VALUES(133,'filter','solar_full_aperture',NULL,NULL,130.0,146.0,'2025-03-22',0);
INSERT INTO "filter" VALUES(134,'filter','solar_full_aperture',NULL,7,118.0,126.0,'2026-04-18',1);
INSERT INTO "filter" VALUES(135,'filter','solar_full_aperture',NULL,NULL,150.0,168.0,'2026-05-09',0);
INSERT INTO "filter" VALUES(136,'filter','moon',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(137,'filter','moon',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(138,'filter','moon',50.799999999999997158,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(139,'filter','nebula',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(140,'filter','nebula',50.799999999999997158,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(141,'filter','nebula',50.799999999999997158,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(142,'filter','colour',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(143,'filter','colour',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(144,'filter','colour',31.749999999999999999,NULL,NULL,NULL,NULL,1);
INSERT INTO "filter" VALUES(145,'filter','polarising',31.749999999999999999,NULL,NULL,NULL,NULL,0);
INSERT INTO "filter" VALUES(146,'filter','polarising',50.799999999999997158,NULL,NULL,NULL,NULL,0);
CREATE TABLE member (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    member_number TEXT NOT NULL COLLATE NOCASE
        CONSTRAINT member_number_form CHECK (
            length(member_number) BETWEEN 1 AND 24
            AND member_number GLOB '[A-Za-z0-9]*'
            AND NOT member_number GLOB '*[^A-Za-z0-9._/-]*'
        ),
    name          TEXT NOT NULL
        CONSTRAINT member_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    email         TEXT COLLATE NOCASE
        CONSTRAINT member_email CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    joined        TEXT
        CONSTRAINT member_joined CHECK (length(joined) = 10 AND joined = date(joined)),
    state         TEXT NOT NULL DEFAULT 'active'
        CONSTRAINT member_state CHECK (state IN ('active', 'left')),
    version       INTEGER NOT NULL DEFAULT 1 CONSTRAINT member_version CHECK (version >= 1), erased_on TEXT
    CONSTRAINT member_erased_on CHECK (length(erased_on) = 10 AND erased_on = date(erased_on)),
    CONSTRAINT member_number_is_the_only_one UNIQUE (member_number),
    CONSTRAINT member_email_is_the_only_one UNIQUE (email)
) STRICT;
INSERT INTO member VALUES(1,'M-101','Ottilie Marchbanks','ottilie.marchbanks@example.org','1989-10-06','active',1,NULL);
INSERT INTO member VALUES(2,'M-102','Tomasz Wieliczka','tomasz.w@example.org','2004-03-12','active',1,NULL);
INSERT INTO member VALUES(3,'M-103','Adaeze Okonjo-Hart','adaeze@example.com','2015-09-18','active',1,NULL);
INSERT INTO member VALUES(4,'M-104','Bertram Aldous','b.aldous@example.org','1971-05-07','active',1,NULL);
INSERT INTO member VALUES(5,'M-105','Priya Raghunathan','priya.r@example.net','2019-11-01','active',1,NULL);
INSERT INTO member VALUES(6,'M-106','Callum Strachan','callum.strachan@example.org','1998-02-13','active',1,NULL);
INSERT INTO member VALUES(7,'M-107','Noor El-Bakri','noor.elbakri@example.com','2022-10-14','active',1,NULL);
INSERT INTO member VALUES(8,'M-108','Ffion Gethin','ffion.gethin@example.org','2001-06-22','active',1,NULL);
INSERT INTO member VALUES(9,'M-109','Hinemoa Parata','hinemoa@example.net','2017-04-07','active',1,NULL);
INSERT INTO member VALUES(10,'M-110','Lucian Draycott',NULL,'2024-09-13','active',1,NULL);
INSERT INTO member VALUES(11,'M-111','Greta Lindqvist','greta.l@example.com','1983-01-14','active',1,NULL);
INSERT INTO member VALUES(12,'M-112','Samuel Oyelaran','sam.oyelaran@example.org','2018-03-23','active',1,NULL);
INSERT INTO member VALUES(13,'M-113','Imogen Thackeray','imogen.t@example.net','2021-08-20','active',1,NULL);
INSERT INTO member VALUES(14,'M-114','Davit Kapanadze','davit.k@example.org','2010-11-05','active',1,NULL);
INSERT INTO member VALUES(15,'M-115','Wilhelmina Boskamp','mina.boskamp@example.com','1979-09-28','active',1,NULL);
INSERT INTO member VALUES(16,'M-116','Kwabena Ampofo','kwabena@example.org','2016-05-13','active',1,NULL);
INSERT INTO member VALUES(17,'M-117','Rosalind Pennicott','rosalind.pennicott@example.net','2003-10-10','active',1,NULL);
INSERT INTO member VALUES(18,'M-118','Yusuf Demirci','yusuf.demirci@example.org','2020-02-21','active',1,NULL);
INSERT INTO member VALUES(19,'M-119','Anneliese Vogt','anneliese.vogt@example.com','1992-04-24','active',1,NULL);
INSERT INTO member VALUES(20,'M-120','Mateo Ibarra',NULL,'2026-01-16','active',1,NULL);
INSERT INTO member VALUES(21,'M-121','Lucía Ibarra','lucia.ibarra@example.net','2026-01-16','active',1,NULL);
INSERT INTO member VALUES(22,'M-122','Edmund Fairweather','edmund.f@example.org','1976-12-03','active',1,NULL);
INSERT INTO member VALUES(23,'M-123','Saoirse Quilligan','saoirse.q@example.com','2023-03-10','active',1,NULL);
INSERT INTO member VALUES(24,'M-124','Hiroshi Tanabe','hiroshi.tanabe@example.org','2008-07-11','active',1,NULL);
INSERT INTO member VALUES(25,'M-125','Beatrix Colquhoun','beatrix.c@example.net','1999-10-15','active',1,NULL);
INSERT INTO member VALUES(26,'M-126','Ezekiel Marlowe','ezekiel.marlowe@example.com','2025-02-14','active',1,NULL);
INSERT INTO member VALUES(27,'M-127','Jasleen Gill-Harper','jasleen.gh@example.org','2021-01-29','active',1,NULL);
INSERT INTO member VALUES(28,'M-128','Otto Reinholt','otto.reinholt@example.net','1987-03-20','active',1,NULL);
INSERT INTO member VALUES(29,'M-129','Thandiwe Mokoena','thandiwe.m@example.org','2014-08-29','active',1,NULL);
INSERT INTO member VALUES(30,'M-130','Piotr Zaleski','piotr.zaleski@example.com','2025-10-17','active',1,NULL);
INSERT INTO member VALUES(31,'M-131','Marguerite Lavigne','m.lavigne@example.org','1974-02-08','active',1,NULL);
INSERT INTO member VALUES(32,'M-132','Arlo Benbow',NULL,'2025-09-12','active',1,NULL);
INSERT INTO member VALUES(33,'M-133','Harriet Benbow','harriet.benbow@example.com','2025-09-12','active',1,NULL);
INSERT INTO member VALUES(34,'M-134','Nikolai Brandvold','nikolai.b@example.net','2000-11-24','active',1,NULL);
INSERT INTO member VALUES(35,'M-135','Cerys Llewellyn-Ashby','cerys.la@example.org','2024-01-26','active',1,NULL);
INSERT INTO member VALUES(36,'M-136','Ibrahim Sesay','ibrahim.sesay@example.com','2012-06-15','active',1,NULL);
INSERT INTO member VALUES(37,'M-137','Dorothea Winslade','dorothea.w@example.org','1994-09-02','active',1,NULL);
INSERT INTO member VALUES(38,'M-138','Leander Koskinen','leander.k@example.net','2019-05-24','active',1,NULL);
INSERT INTO member VALUES(39,'M-139','Meera Chaudhuri','meera.c@example.org','2007-02-16','active',1,NULL);
INSERT INTO member VALUES(40,'M-140','Fergus Abernethy','fergus.abernethy@example.com','1990-05-18','active',1,NULL);
INSERT INTO member VALUES(41,'M-141','Sunniva Haraldsen','sunniva@example.net','2024-11-08','active',1,NULL);
INSERT INTO member VALUES(42,'M-142','Gabriel Fontoura','gabriel.fontoura@example.org','2013-10-25','active',1,NULL);
INSERT INTO member VALUES(43,'M-143','Winifred Opoku','winifred.opoku@example.com','2026-03-06','active',1,NULL);
INSERT INTO member VALUES(44,'M-144','Alasdair Munro-Tate','alasdair.mt@example.org','2026-02-20','active',1,NULL);
INSERT INTO member VALUES(45,'M-145','Zainab Hadi','zainab.hadi@example.net','2022-04-15','active',1,NULL);
INSERT INTO member VALUES(46,'M-146','Rupert Nettleship','rupert.n@example.com','2002-08-09','active',1,NULL);
INSERT INTO member VALUES(47,'M-147','Elspeth Carnegie-Ross','elspeth.cr@example.org','1985-11-15','active',1,NULL);
INSERT INTO member VALUES(48,'M-148','Tavita Leota','tavita.leota@example.net','2018-12-07','active',1,NULL);
INSERT INTO member VALUES(49,'M-149','Blanka Novotná','blanka.n@example.org','2023-06-30','active',1,NULL);
INSERT INTO member VALUES(50,'M-150','Jonquil Ames',NULL,'2025-05-09','active',1,NULL);
INSERT INTO member VALUES(51,'M-151','Cornelius Vance','cornelius.vance@example.com','1977-04-01','active',1,NULL);
INSERT INTO member VALUES(52,'M-152','Oksana Petrenko','oksana.p@example.org','2023-01-20','left',1,NULL);
INSERT INTO member VALUES(53,'M-153','Hugo Delacourt','hugo.delacourt@example.net','1996-06-14','left',1,NULL);
INSERT INTO member VALUES(54,'M-154','Miriam Goldfarb','miriam.goldfarb@example.com','2026-05-15','active',1,NULL);
CREATE TABLE member_eye (
    member_id         INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    birth_year        INTEGER
        CONSTRAINT member_eye_birth_year CHECK (birth_year BETWEEN 1900 AND 2100),
    glasses           TEXT
        CONSTRAINT member_eye_glasses CHECK (glasses IN ('none', 'takes_off', 'keeps_on')),
    sphere_d          REAL
        CONSTRAINT member_eye_sphere CHECK (sphere_d BETWEEN -25 AND 25),
    -- With the sign the optician wrote; the optics count its size.
    cylinder_d        REAL
        CONSTRAINT member_eye_cylinder CHECK (cylinder_d BETWEEN -10 AND 10),
    measured_pupil_mm REAL
        CONSTRAINT member_eye_measured_pupil CHECK (measured_pupil_mm BETWEEN 1 AND 10),
    relief_floor_mm   REAL
        CONSTRAINT member_eye_relief_floor CHECK (relief_floor_mm BETWEEN 0 AND 60)
, looking_eye TEXT
    CONSTRAINT member_eye_looking CHECK (looking_eye IN ('right', 'left')), other_sphere_d REAL
    CONSTRAINT member_eye_other_sphere CHECK (other_sphere_d BETWEEN -25 AND 25), other_cylinder_d REAL
    CONSTRAINT member_eye_other_cylinder CHECK (other_cylinder_d BETWEEN -10 AND 10), shared INTEGER NOT NULL DEFAULT 0
    CONSTRAINT member_eye_shared CHECK (shared IN (0, 1)), version INTEGER NOT NULL DEFAULT 1
    CONSTRAINT member_eye_version CHECK (version >= 1)) STRICT;
INSERT INTO member_eye VALUES(1,1958,'takes_off',1.5,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(2,1971,'keeps_on',-2.25,-1.25,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(3,1986,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(4,1942,'keeps_on',2.75,-0.75,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(5,1993,'none',NULL,NULL,7.2000000000000001776,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(6,1967,'takes_off',-3.5,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(7,2003,'keeps_on',-4.25,-0.5,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(8,1963,'keeps_on',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(9,1979,'none',NULL,NULL,6.4000000000000003552,14.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(10,2014,'none',NULL,NULL,NULL,9.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(11,1950,'takes_off',2.0,-0.5,5.0999999999999996447,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(12,1990,'keeps_on',-1.75,-2.0,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(13,1998,'none',NULL,NULL,NULL,11.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(14,1976,'takes_off',-5.25,-0.25,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(15,1946,'keeps_on',1.25,-3.0,4.2999999999999998223,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(16,1984,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(17,1969,'keeps_on',-6.5,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(18,1995,'takes_off',-2.0,NULL,7.5,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(19,1955,'takes_off',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(20,2017,'none',NULL,NULL,NULL,8.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(21,1988,'keeps_on',-3.0,-1.0,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(22,1948,'none',NULL,NULL,4.9000000000000003552,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(23,2001,'takes_off',-0.75,-0.5,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(24,1974,'keeps_on',-8.0,-1.5,NULL,22.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(25,1961,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(26,2011,'keeps_on',-1.5,-0.75,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(27,1992,'takes_off',NULL,-0.75,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(28,1953,'keeps_on',3.25,-2.25,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(29,1982,'none',NULL,NULL,6.7999999999999998223,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(30,NULL,'takes_off',-1.0,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(31,1944,'takes_off',2.25,-1.5,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(32,2016,'none',NULL,NULL,NULL,10.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(33,1987,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(34,1965,'keeps_on',-0.5,-0.25,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(35,2008,'takes_off',-2.5,-1.75,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(36,1978,'keeps_on',NULL,-1.0,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(37,1959,'keeps_on',1.75,NULL,5.5999999999999996447,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(38,1996,'none',NULL,NULL,8.0999999999999996447,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(39,1970,'takes_off',NULL,-3.75,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(40,1957,'none',1.25,-0.25,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(41,2006,'none',NULL,NULL,NULL,12.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(42,1981,'keeps_on',-2.75,-4.0,6.5999999999999996447,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(43,NULL,'keeps_on',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(44,1973,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(45,2000,'keeps_on',-5.75,-0.25,7.4000000000000003552,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(46,1966,'takes_off',-4.0,-2.5,6.0,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(47,1951,'keeps_on',0.5,-1.75,NULL,18.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(48,1989,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(49,1999,'takes_off',NULL,NULL,7.7000000000000001776,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(50,2013,'keeps_on',-2.0,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(51,1949,'none',NULL,NULL,NULL,16.0,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(52,1994,'none',NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(53,1964,'takes_off',-1.25,-0.5,NULL,NULL,NULL,NULL,NULL,0,1);
INSERT INTO member_eye VALUES(54,1980,NULL,-2.25,-1.0,NULL,NULL,NULL,NULL,NULL,0,1);
CREATE TABLE account (
    id            INTEGER PRIMARY KEY,
    -- The person this account belongs to in the list of members, if any.
    member_id     INTEGER UNIQUE REFERENCES member (id),
    name          TEXT NOT NULL
                  CONSTRAINT account_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 120),
    email         TEXT NOT NULL UNIQUE COLLATE NOCASE
                  CONSTRAINT account_email_is_one
                  CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    -- Argon2id as a PHC string; empty until the person has chosen a password.
    password_hash TEXT
                  CONSTRAINT account_password_is_argon2id
                  CHECK (password_hash LIKE '$argon2id$%'),
    created_at    INTEGER NOT NULL,
    disabled_at   INTEGER
, failures_in_a_row INTEGER NOT NULL DEFAULT 0
    CONSTRAINT account_failures CHECK (failures_in_a_row >= 0)) STRICT;
INSERT INTO account VALUES(1,2,'Tomasz Wieliczka','tomasz.w@example.org',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(2,5,'Priya Raghunathan','priya.r@example.net',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(3,4,'Bertram Aldous','b.aldous@example.org',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(4,9,'Hinemoa Parata','hinemoa@example.net',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(5,15,'Wilhelmina Boskamp','mina.boskamp@example.com',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(6,24,'Hiroshi Tanabe','hiroshi.tanabe@example.org',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(7,30,'Piotr Zaleski','piotr.zaleski@example.com',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(8,1,'Ottilie Marchbanks','ottilie.marchbanks@example.org',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(9,3,'Adaeze Okonjo-Hart','adaeze@example.com',NULL,1780657200,NULL,0);
INSERT INTO account VALUES(10,16,'Kwabena Ampofo','kwabena@example.org',NULL,1780657200,NULL,0);
CREATE TABLE account_role (
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    role       TEXT NOT NULL
               CONSTRAINT account_role_is_known
               CHECK (role IN ('member', 'quartermaster', 'outreach', 'admin')),
    PRIMARY KEY (account_id, role)
) STRICT, WITHOUT ROWID;
INSERT INTO account_role VALUES(1,'member');
INSERT INTO account_role VALUES(2,'member');
INSERT INTO account_role VALUES(3,'member');
INSERT INTO account_role VALUES(4,'member');
INSERT INTO account_role VALUES(5,'member');
INSERT INTO account_role VALUES(6,'member');
INSERT INTO account_role VALUES(7,'member');
INSERT INTO account_role VALUES(8,'member');
INSERT INTO account_role VALUES(8,'quartermaster');
INSERT INTO account_role VALUES(9,'member');
INSERT INTO account_role VALUES(9,'outreach');
INSERT INTO account_role VALUES(10,'admin');
INSERT INTO account_role VALUES(10,'member');
CREATE TABLE session (
    id_hash      BLOB PRIMARY KEY CONSTRAINT session_hash_is_whole CHECK (length(id_hash) = 32),
    account_id   INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    created_at   INTEGER NOT NULL,
    last_seen_at INTEGER NOT NULL,
    expires_at   INTEGER NOT NULL
, place TEXT
    CONSTRAINT session_place_is_short CHECK (length(place) <= 60), browser TEXT
    CONSTRAINT session_browser_is_short CHECK (length(browser) <= 60)) STRICT, WITHOUT ROWID;
CREATE TABLE access_token (
    id         INTEGER PRIMARY KEY,
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    name       TEXT NOT NULL
               CONSTRAINT access_token_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 80),
    token_hash BLOB NOT NULL UNIQUE
               CONSTRAINT access_token_hash_is_whole CHECK (length(token_hash) = 32),
    scope      TEXT NOT NULL
               CONSTRAINT access_token_scope_is_known CHECK (scope IN ('read', 'write')),
    created_at INTEGER NOT NULL,
    expires_at INTEGER,
    revoked_at INTEGER
, last_used_on TEXT
    CONSTRAINT access_token_last_used_on CHECK (
        length(last_used_on) = 10 AND last_used_on = date(last_used_on)
    )) STRICT;
CREATE TABLE setup_link (
    token_hash BLOB PRIMARY KEY
               CONSTRAINT setup_link_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER REFERENCES account (id) ON DELETE CASCADE,
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE sign_in_failure (
    subject_hash BLOB PRIMARY KEY
                 CONSTRAINT sign_in_failure_hash_is_whole CHECK (length(subject_hash) = 32),
    failures     INTEGER NOT NULL CHECK (failures > 0),
    last_at      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE audit (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    at           INTEGER NOT NULL,
    -- The account that did it. Not a reference: entries outlive accounts.
    account      INTEGER,
    -- How it came in: from a page, a program, a one-time link, the command line, the service.
    means        TEXT NOT NULL
                 CONSTRAINT audit_means_is_known
                 CHECK (means IN ('page', 'program', 'link', 'command', 'service')),
    deed         TEXT NOT NULL
                 CONSTRAINT audit_deed_is_short CHECK (length(deed) BETWEEN 3 AND 80),
    subject_kind TEXT
                 CONSTRAINT audit_subject_is_a_word
                 CHECK (length(subject_kind) BETWEEN 1 AND 40
                        AND NOT subject_kind GLOB '*[^a-z_ ]*'),
    subject_id   INTEGER,
    detail       TEXT NOT NULL DEFAULT ''
                 CONSTRAINT audit_detail_is_short CHECK (length(detail) <= 300),
    -- Whole at first ('192.0.2.17'), later its beginning and a star ('192.0.2.*').
    address      TEXT
                 CONSTRAINT audit_address_is_short CHECK (length(address) BETWEEN 2 AND 45),
    CONSTRAINT audit_subject_has_a_kind CHECK (subject_id IS NULL OR subject_kind IS NOT NULL)
) STRICT;
CREATE TABLE joining (
    id   INTEGER PRIMARY KEY CONSTRAINT joining_is_one_row CHECK (id = 1),
    open INTEGER NOT NULL CONSTRAINT joining_is_yes_or_no CHECK (open IN (0, 1))
) STRICT;
CREATE TABLE join_request (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    name     TEXT NOT NULL
             CONSTRAINT join_request_name_is_short CHECK (length(trim(name)) BETWEEN 1 AND 120),
    email    TEXT NOT NULL UNIQUE COLLATE NOCASE
             CONSTRAINT join_request_email_is_one
             CHECK (length(email) BETWEEN 3 AND 254 AND email LIKE '_%@_%'),
    says     TEXT NOT NULL DEFAULT ''
             CONSTRAINT join_request_is_short CHECK (length(says) <= 500),
    asked_at INTEGER NOT NULL
) STRICT;
CREATE TABLE letter (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    -- Says what the letter is about, so that one reason never gives two letters.
    letter_key TEXT NOT NULL
        CONSTRAINT letter_key_is_short CHECK (length(letter_key) BETWEEN 1 AND 200),
    kind       TEXT NOT NULL
        CONSTRAINT letter_kind_is_short CHECK (length(kind) BETWEEN 1 AND 40),
    -- Essential letters go to those too who asked for no others.
    essential  INTEGER NOT NULL CONSTRAINT letter_essential CHECK (essential IN (0, 1)),
    member_id  INTEGER REFERENCES member (id) ON DELETE CASCADE,
    account_id INTEGER REFERENCES account (id) ON DELETE CASCADE,
    -- Becomes a header of the mail: no line may end in it.
    subject    TEXT NOT NULL
        CONSTRAINT letter_subject_is_one_line CHECK (
            length(subject) BETWEEN 1 AND 200
            AND instr(subject, char(10)) = 0 AND instr(subject, char(13)) = 0
        ),
    body       TEXT NOT NULL
        CONSTRAINT letter_body_is_readable CHECK (json_valid(body) AND length(body) <= 40000),
    created_at INTEGER NOT NULL,
    not_before INTEGER NOT NULL,
    -- After this it would mislead; it stays on the page.
    not_after  INTEGER NOT NULL,
    state      TEXT NOT NULL DEFAULT 'waiting'
        CONSTRAINT letter_state
        CHECK (state IN ('waiting', 'sending', 'sent', 'kept', 'refused', 'unclear')),
    attempts   INTEGER NOT NULL DEFAULT 0 CONSTRAINT letter_attempts CHECK (attempts >= 0),
    next_at    INTEGER NOT NULL,
    -- Why it was not sent, in the mail server's words or ours.
    reason     TEXT,
    settled_at INTEGER,
    CONSTRAINT letter_is_written_once UNIQUE (letter_key),
    CONSTRAINT letter_has_one_reader CHECK ((member_id IS NULL) <> (account_id IS NULL)),
    CONSTRAINT letter_window CHECK (not_after > not_before)
) STRICT;
INSERT INTO letter VALUES(1,'offer 2 1780743600','waiting-offer',1,9,NULL,'What you waited for is held for you','[{"says":"These became free, Friday 19 to Sunday 21 June 2026, and are held for you until Saturday 6 June 2026, 12:00:"},{"lists":["T-018 Tall Nellie"]},{"says":"Take it or leave it to the next: after that time they are offered on."},{"leads_to":{"label":"Take it or leave it","path":"/mine"}}]',1780657200,1780657200,1780743600,'waiting',0,1780657200,NULL,NULL);
INSERT INTO letter VALUES(2,'risk 16 77 borrower','reservation-at-risk',1,16,NULL,'A piece that you reserved may not be there','[{"says":"About your reservation, Friday 5 June 2026:"},{"lists":["E-054 32 mm four-element should have been back on Monday 1 June 2026 and is still out."]},{"says":"The quartermaster knows. You can take the best replacement yourself, or wait: nothing is cancelled."},{"leads_to":{"label":"See what would do instead","path":"/mine/16"}}]',1780657200,1780657200,1781262000,'waiting',0,1780657200,NULL,NULL);
INSERT INTO letter VALUES(3,'risk 16 77 desk 8','reservation-at-risk',1,NULL,8,'A reservation is at risk','[{"says":"Reservation 16, Friday 5 June 2026:"},{"lists":["E-054 32 mm four-element should have been back on Monday 1 June 2026 and is still out."]},{"says":"The borrower was told. The page shows the best replacement that is free."},{"leads_to":{"label":"To the reservation","path":"/desk/16"}}]',1780657200,1780657200,1781262000,'waiting',0,1780657200,NULL,NULL);
INSERT INTO letter VALUES(4,'risk 21 35 borrower','reservation-at-risk',1,37,NULL,'A piece that you reserved may not be there','[{"says":"About your reservation, Friday 12 to Saturday 13 June 2026:"},{"lists":["E-012 22.5 mm wide-field, long relief should have been back on Monday 1 June 2026 and is still out."]},{"says":"The quartermaster knows. You can take the best replacement yourself, or wait: nothing is cancelled."},{"leads_to":{"label":"See what would do instead","path":"/mine/21"}}]',1780657200,1780657200,1781262000,'waiting',0,1780657200,NULL,NULL);
INSERT INTO letter VALUES(5,'risk 21 35 desk 8','reservation-at-risk',1,NULL,8,'A reservation is at risk','[{"says":"Reservation 21, Friday 12 to Saturday 13 June 2026:"},{"lists":["E-012 22.5 mm wide-field, long relief should have been back on Monday 1 June 2026 and is still out."]},{"says":"The borrower was told. The page shows the best replacement that is free."},{"leads_to":{"label":"To the reservation","path":"/desk/21"}}]',1780657200,1780657200,1781262000,'waiting',0,1780657200,NULL,NULL);
INSERT INTO letter VALUES(10,'reservation 10 overdue 3 2026-05-31','loan-overdue',1,14,NULL,'Your loan is long overdue','[{"says":"These were due back on Monday 1 June 2026, and others wait for them. Until they are back nothing else can be reserved. Please call the quartermaster:"},{"lists":["T-010 The Jackdaw","E-012 22.5 mm wide-field, long relief","E-026 13.6 mm wide-field","E-054 32 mm four-element"]},{"leads_to":{"label":"See it","path":"/mine/10"}}]',1780657200,1780657200,1781262000,'waiting',0,1780657200,NULL,NULL);
CREATE TABLE letter_quiet (
    account_id INTEGER PRIMARY KEY REFERENCES account (id) ON DELETE CASCADE,
    since      INTEGER NOT NULL
) STRICT;
CREATE TABLE second_factor (
    account_id   INTEGER PRIMARY KEY REFERENCES account (id) ON DELETE CASCADE,
    secret       BLOB NOT NULL CONSTRAINT second_factor_secret_is_whole CHECK (length(secret) = 20),
    made_at      INTEGER NOT NULL,
    confirmed_at INTEGER,
    last_step    INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE recovery_code (
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    code_hash  BLOB NOT NULL CONSTRAINT recovery_code_hash_is_whole CHECK (length(code_hash) = 32),
    used_at    INTEGER,
    PRIMARY KEY (account_id, code_hash)
) STRICT, WITHOUT ROWID;
CREATE TABLE half_sign_in (
    token_hash BLOB PRIMARY KEY CONSTRAINT half_sign_in_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    next       TEXT NOT NULL,
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE mail_link (
    token_hash BLOB PRIMARY KEY CONSTRAINT mail_link_hash_is_whole CHECK (length(token_hash) = 32),
    account_id INTEGER NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    purpose    TEXT NOT NULL
        CONSTRAINT mail_link_purpose CHECK (purpose IN ('sign_in', 'password', 'email')),
    -- The new address, where the link proves that it is its owner's.
    email      TEXT CONSTRAINT mail_link_email CHECK (length(email) BETWEEN 3 AND 254),
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    CONSTRAINT mail_link_email_has_its_purpose CHECK ((purpose = 'email') = (email IS NOT NULL))
) STRICT, WITHOUT ROWID;
CREATE TABLE guardian (
    member_id    INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    name         TEXT NOT NULL
        CONSTRAINT guardian_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    consented_on TEXT NOT NULL
        CONSTRAINT guardian_consented_on CHECK (
            length(consented_on) = 10 AND consented_on = date(consented_on)
        ),
    recorded_by  INTEGER NOT NULL REFERENCES account (id),
    recorded_at  INTEGER NOT NULL CONSTRAINT guardian_recorded_at CHECK (recorded_at >= 0)
) STRICT;
CREATE TABLE adult_proof (
    member_id   INTEGER PRIMARY KEY REFERENCES member (id) ON DELETE CASCADE,
    seen_on     TEXT NOT NULL
        CONSTRAINT adult_proof_seen_on CHECK (length(seen_on) = 10 AND seen_on = date(seen_on)),
    recorded_by INTEGER NOT NULL REFERENCES account (id)
) STRICT;
CREATE TABLE own_telescope (
    id                     INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id              INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    name                   TEXT NOT NULL
        CONSTRAINT own_telescope_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    layout                 TEXT NOT NULL
        CONSTRAINT own_telescope_layout CHECK (
            layout IN ('refractor', 'newtonian', 'schmidt_cassegrain', 'maksutov_cassegrain',
                       'other', 'unknown')
        ),
    aperture_mm            REAL NOT NULL
        CONSTRAINT own_telescope_aperture CHECK (aperture_mm BETWEEN 30 AND 3000),
    focal_length_mm        REAL NOT NULL
        CONSTRAINT own_telescope_focal_length CHECK (focal_length_mm BETWEEN 100 AND 30000),
    central_obstruction_mm REAL
        CONSTRAINT own_telescope_obstruction CHECK (
            central_obstruction_mm BETWEEN 0 AND 2000 AND central_obstruction_mm < aperture_mm
        ),
    focuser_barrel_mm      REAL
        CONSTRAINT own_telescope_focuser_barrel CHECK (focuser_barrel_mm IN (24.5, 31.75, 50.8)),
    focuser_travel_mm      REAL
        CONSTRAINT own_telescope_focuser_travel CHECK (focuser_travel_mm BETWEEN 0 AND 500),
    balance_limit_g        REAL
        CONSTRAINT own_telescope_balance_limit CHECK (balance_limit_g BETWEEN 1 AND 200000),
    tracking               INTEGER CONSTRAINT own_telescope_tracking CHECK (tracking IN (0, 1)),
    version                INTEGER NOT NULL DEFAULT 1
        CONSTRAINT own_telescope_version CHECK (version >= 1),
    CONSTRAINT own_telescope_focal_ratio CHECK (focal_length_mm / aperture_mm BETWEEN 1 AND 100),
    CONSTRAINT own_telescope_refractor_is_clear CHECK (
        layout <> 'refractor' OR central_obstruction_mm IS NULL OR central_obstruction_mm = 0
    )
) STRICT;
CREATE TABLE own_eyepiece (
    id                   INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id            INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    name                 TEXT NOT NULL
        CONSTRAINT own_eyepiece_name CHECK (length(trim(name)) > 0 AND length(name) <= 120),
    focal_length_mm      REAL NOT NULL
        CONSTRAINT own_eyepiece_focal_length CHECK (focal_length_mm BETWEEN 1.5 AND 100),
    apparent_field_deg   REAL
        CONSTRAINT own_eyepiece_apparent_field CHECK (apparent_field_deg BETWEEN 15 AND 130),
    field_stop_mm        REAL
        CONSTRAINT own_eyepiece_field_stop CHECK (field_stop_mm BETWEEN 1 AND 60),
    eye_relief_mm        REAL
        CONSTRAINT own_eyepiece_eye_relief CHECK (eye_relief_mm BETWEEN 0 AND 60),
    usable_eye_relief_mm REAL
        CONSTRAINT own_eyepiece_usable_eye_relief CHECK (usable_eye_relief_mm BETWEEN 0 AND 60),
    barrel_mm            REAL
        CONSTRAINT own_eyepiece_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    optical_class        TEXT
        CONSTRAINT own_eyepiece_optical_class CHECK (
            optical_class IN ('two_lens', 'three_element', 'four_element', 'wide_field')
        ),
    mass_g               REAL CONSTRAINT own_eyepiece_mass CHECK (mass_g BETWEEN 1 AND 200000),
    version              INTEGER NOT NULL DEFAULT 1
        CONSTRAINT own_eyepiece_version CHECK (version >= 1),
    CONSTRAINT own_eyepiece_field_stop_fits_barrel CHECK (
        field_stop_mm <= CASE barrel_mm WHEN 24.5 THEN 23.0 WHEN 31.75 THEN 27.5 WHEN 50.8 THEN 46.5 END
    )
) STRICT;
CREATE TABLE IF NOT EXISTS 'item_text_data'(id INTEGER PRIMARY KEY, block BLOB);
INSERT INTO item_text_data VALUES(1,X'81218242856b9b3085472e');
INSERT INTO item_text_data VALUES(10,X'000000000501813100000000000000000001040110');
INSERT INTO item_text_data VALUES(549755813889,X'00000ef504303030310102031702036b0601020d0301320202031702030301330302031702030106010306030134040203170203660601020d0301350502031702034906010308030136060203170203030137070203170203680601020d030138080203170203030139090203170203620601020d02013175020301060103050b02031202030301300a02031702030301310b02031702030301320c02031702030301330d02031702030301340e02031702030301350f020317020303013610020317020303013711080301030817020303013812020317020333060103050301391302031702035a0601020d0201327602030c02031202030301301402031702030301311502031702030301321602031702030301331702031702030301342f02030301353002030301363102030301373202030301383302030301393402030201337702030c02031202030301303502030301313602030301323702030301333802030301343902030301353a02030301363b02030301373c02030301383d02030301393e02030201347802030c02031202030301303f02030301314002030301324102030301334202030301344302030301354402030301364502030301374602030301384702030301394802030201357902030c02031202030301304902030301314a02030301324b02030301334c02030301344d02030301354e02030301364f02030301375002030301385102030301395202030201367a02030c02031202030301305302030301315402030301325502030301335602030301345702030301355802030301365902030301375a02030301385b02030301395c02030201377b02030c02031202030301305d02030301315e02030301325f02030301336002030301346102030301356202030301366302030301376402030301386502030301396602030201387c02030c02031202030301306702030301316802030301326902030301336a02030301346b02030301356c02030301366d02030301376e02030301386f02030301397002030201397d02030c0203120203030130710203030131720203030132730203030133740203020470393635050601021a120601021a4c0601021201060102120106010212010601021201060102120106010212010601021201060102120106010212110601020c0101310406010403030601040311060104051e060104056206010204020130060601020a060601020b010801020b0c0206010212350e0101020102020f010e0101020102020f1b06010305140e0101020102020e0a02030c020312020303023030150601021705026d6d15080102150303013207080102021102080102021304026d6d070801020f0302080102110303026d6d1d0601020e010601020e260801020d03010801020d032f0801020c0303027036300e0101020102020f05026d6d300601020d040138390e0101020102020f05026d6d390601020d0201317f02030c020312020303013402080102021010080102021104026d6d020801020e03100801020f0303026d6d300601020e090601020e3306010208030270324706010206250e0101020102020905026d6d6c06010207040137050601020a0201320b0601020b0506010212260601020601060102061e0e0101020102020f050e0101020102020f1d060103040902030c02031202030301300808010202110401300106010216130601021605026d6d01080102140313080102140304026d6d080801020f030301370a08010202130401300f0601021605026d6d0f080102140304026d6d0a080102110303026d6d1f0601020e010601020e010601020e250601020e0f0801020d03050801020d03080601020e020601020e040601020e030270310a0601020b0401341f0e0101020102020f010e0101020102020f010e0101020102020f3c0601020605026d6d1f0601020d010601020d010601020d04013538060102060e0e0101020102020f1c0e0101020102020f020e0101020102020f040e0101020102020f05026d6d460601020d1c0601020d020601020d040601020d040137090601020b020133160601020a23060102063a0e0101020102020e1506010104020601010403020312020303013003080102021081020c01010601020c040130090601021905026d6d09080102170304026d6d030801020e0303026d6d730801020c03030270353506010206040136310e0101020102020f05026d6d310601020d02013473060102061b020312020303013681050c01010801020e03026d6d260601020e0b0601020e0d0601020e03027032260e0101020102020f430601020605026d6d260601020d0401333e0e0101020102020f05026d6d3e0601020d04013456060102060401352e060102060401364806010206020135330c01020601030b07060102060306010206010601020602060102064f02031202030301300b0801020213030801020211790c01010601020c04026d6d0b0801021103030801020f03030132140801020210040135100601021605026d6d10080102140304026d6d140801020e03030234300a0601021905026d6d0a080102170303026d6d340601020e060601020e030270323a0e0101020102020f05026d6d3a0601020d040134340e0101020102020f05026d6d340601020d040135340c01020601030b0b06010206080e0101020102020f05026d6d470601020d02013611060102121c060102060e06010206320e0101020102020b23020303013016080102021104026d6d160801020f0303013881070c01010801020e03026d6d470601020e260801020903030270352f0601020601060102062e06010206040138220e0101020102020f05026d6d220601020d02013731060102062a0e0101020102020f1006010206030601020623020303026d6d220601020e100601020e290801020d0303027034320e0101020102020f05026d6d320601020d040135320601020602013818060102063e0e0101020102020f130e0101020102020f0106010206280203030230300b0601021905026d6d0b080102170303023239110601021605026d6d11080102140303026d6d250601020e310801020d03130801020d03030270324906010206010601020601060102060106010206040135250e0101020102020f170601020605026d6d250601020d0203396d6d3b0601020e030270323b0e0101020102020f05026d6d3b0601020d02037031358117060102040302323502060102190106010219030601021a030601021c010601021c080601021a01060102190106010219040601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212070601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212050601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021203060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212010601021201060102120106010212020601021201060102120a0601020c010601020e010601021202060102120106010212010601021201060102110106010211010601020c010601020c010601020c010601020c010601020c020601020c040601020c010601020c080601020b010601020b020601020b030601020b010601020b010601020b010601020b030601020e010601020e010601020e0504696e6368020601021b010601021b030601021c030601021e010601021e080601021c010601021b010601021b040601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214070601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214050601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021403060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214010601021401060102140106010214020601021401060102140a0601020e0106010210010601021402060102140106010214010601021401060102130106010213010601020e010601020e010601020e010601020e010601020e020601020e040601020e010601020e080601020d010601020d020601020d030601020d010601020d010601020d010601020d0306010210010601021001060102100301356306010206140e0101020102020a04017877060102090301367e0e0101020102020a0401787e060102090301387f0e0101020102020a0401787f060102090101320106010219030601021a0106010213020601021a010601021a0106010403020601021c010601021c010601021c010601021a010601021901060102190106010219040601021a010601021a0d060104050406010212010601021201060102120106010212010601021201060102121006010212010601021201060102120106010212110601021201060102120f060102120f0601020c060e0101020102020a010e0101020102020a04100101020102020a04020e0101020102020a010601020c010601020c0c0601020b020601020b010601020b050601020b010601020e040601020e010601020e02013019060102060d060102060d060103030106010303140e0101020102020f140e0101020102020f050e0101020102020f040e0101020102020f0b060102060106010206010601020603013015080102021104026d6d150801020f030301330108010202100b08010202130401300c0601021905026d6d0c080102170304026d6d010801020e030b080102110303023830160601021705026d6d16080102150303026d6d3f0601020e090801020d03140801020d03050801020d03040801020d03030270351a06010206010601020601060102060410090e0e0e090e090e11090909090909090c0e0e0c090909090606060606060c060606060606060606060c060606060606060606060c060606060606060606060c060606060606060606060c060606060606060606060c060606060606060606060c06060606421c41090a0f10200d090c090c0f101312090837090d100a09080a0a330923132c18082612080a0a0a090c090e0c1312090c0908080825171009080a0a090a0e0d090c0919091e090a0c0f130c091e140d090822090a090a151811090a0d090b8364836611080c080c08816b4a090a0f080a10090a21');
INSERT INTO item_text_data VALUES(549755813890,X'00040f223f0e0101020102020f0730323070356d6d3f0601020d0201311d06010206010601020601060102060106010206010601020601060102064f0e0101020102020f03026d6d710801020d03030270352306010206010601020602013225060102060206010206010601020603026d6d230601020e010601020e03027035230e0101020102020f010e0101020102020f2906010206010601020605026d6d230601020d010601020d020133290601020601060102062d060102060201342c0601020633060102060f0e0101020102020f030130811b0601020403026d6d6e0801020d03030270357c0601020305026d6d050601021912060102194c0601021101060102110106010211010601021101060102110106010211010601021101060102110106010211110601020b0201352b060102061e0e0101020102020f010e0101020102020f010e0101020102020f010e0101020102020f110e0101020102020f0d0e0101020102020f1f060101040301340d08010202130208010202100401300d0601021905026d6d0d080102170304026d6d0d0801021103020801020e0303026d6d490801020d03010801020d03010801020d03010801020d03110801020d030d0801020d03020136270e0101020102020f03026d6d270801020d03010601020e03027035280e0101020102020f05026d6d280601020d0201385e0e0101020102020f03026d6d3c0601020e220801020d03030270353c0e0101020102020f130601020605026d6d3c0601020d02013950060102060204696e6368010601021b030601021c030601021c010601021c030601021e010601021e010601021e010601021c010601021b010601021b010601021b040601021c010601021c1106010214010601021401060102140106010214010601021401060102141006010214010601021401060102140106010214110601021401060102140f060102140f0601020e0b0601020e030601020e010601020e0c0601020d020601020d010601020d050601020d01060102100406010210010601021002026d6d700601020e0202703281000e0101020102020a0401788100060102090301345806010206030135700e0101020102020f080e0101020102020a04026d6d700601020d04017878060102090301384106010206020178750601020901060102090406010209020601020901013304060102130f0601021204060102132906010405390e0101020102020a020130570e0101020102020f140e0101020102020f03013510080102021004026d6d100801020e0303026d6d570801020d03140801020d03020131600601020603027035290e0101020102020f010e0101020102020f540601030605026d6d290601020d010601020d040437356d6d020601021801060102180306010219030601021b010601021b080601021901060102180106010218040601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211070601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211050601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021103060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211020601021101060102110a0601020b010601020d010601021102060102110106010211010601021101060102100106010210010601020b010601020b010601020b010601020b010601020b020601020b040601020b010601020b080601020a010601020a020601020a030601020a010601020a010601020a010601020a030601020d010601020d010601020d0401387506010203010601020301060102030106010203010601020302060102030406010203010601020308060102040106010204020601020403060102040106010204010601020401060102040306010203010601020301060102030201324d0e0101020102020f010e0101020102020f150601020403026d6d290601020e010601020e230801020d03010801020d0302013462060102040201356f0e0101020102020903026d6d6f08010207030201362b0e0101020102020f340e0101020102020f0206010204030601020403026d6d2b0801020d03340801020d030201384f060102040206010206140601020402026d6d180601020e02027033180e0101020102020f04026d6d180601020d0301385906010206030139350e0101020102020f1d0601020604026d6d350601020d0201787906010209010134020601021204060102130106010213020601021509060102132f0e0101020102020f220e0101020102020f1a0e0101020102020a0201304f0e0101020102020f090601020401060102040d060102040e06010204030130130601021604026d6d13080102140303013611080102021004026d6d110801020e0303026d6d4f0801020d030201312c0e0101020102020f03026d6d2c0801020d03020132500e0101020102020f0206010204010601020401060102040106010204010601020404060102040506010204080601020401060102040106010204020601020403026d6d500801020d030201345b0601020403060102040201355706010204050601020401060102040d0601020402013651060102040201384d0601020401060102041206010204030130040601021704026d6d04080102150302026d6d350601020e010601020e0b0801020d03220801020d0302027032360e0101020102020f2c06010206120601020604026d6d360601020d030134020601020962060102060301351106010209030136190e0101020102020f290601020604026d6d190601020d0201787d0601020901013503080102090b05060102130206010215040601020a01060102090106010209050601020a3d0e0101020102020f290e0101020102020a02013041060102041f0e0101020102020f3f06010105030130020601021604026d6d02080102140303026d6d600801020d03030270387a06010203030601020301060102030c0601020402060102040106010204050601020401060102030406010205010601020505026d6d0106010218030601021903060102190106010219030601021b010601021b010601021b0106010219010601021801060102180106010218040601021901060102191106010211010601021101060102110106010211010601021101060102111006010211010601021101060102110106010211110601021101060102110f060102110f0601020b0b0601020b030601020b010601020b0c0601020a020601020a010601020a050601020a010601020d040601020d010601020d020132420601020401060102040106010204010601020401060102040106010204010601020401060102040106010204010601020401060102040201365006010204010e0101020102020f03026d6d510801020d0302026d6d190601020e140601020e130601020e120801020d03020270322d0e0101020102020f04026d6d2d0601020d0301334306010206030134400e0101020102020f1a060102060c0601020604026d6d400601020d030136530601020603013713060102090301390106010209190e0101020102020f010e0101020102020f04026d6d1a0601020d010601020d0201787b06010209010136040601020a0706010215030601021306060102120206010213420e0101020102020f0201300508010202112106010204060601020407060102040206010204390601020403026d6d050801020f0302013218060102040106010204010601020401060102040106010204010601020401060102040106010204010601020401060102040106010204050601020449060102040106010204010601020402013423060102040106010204010601020402013534060102043906010204030130030601021604026d6d0308010214030201362806010204010601020401060102040106010204030130070601021704026d6d07080102150302026d6d1a0601020e010601020e180601020e0f0601020e160801020d0302027033420e0101020102020f04026d6d420601020d030134330e0101020102020f04026d6d330601020d030135070601020a030136370e0101020102020f04026d6d370601020d0301382e0e0101020102020f04026d6d2e0601020d010137530e0101020102020f130e0101020102020f01060102060201301308010202101a06010204010601020401060102040106010204010601020401060102040301300506010217120601021704026d6d05080102150312080102150303026d6d130801020e03020235300e0601021704026d6d0e080102150302013617080102021103026d6d170801020f0302026d6d2e0601020e090601020e1c0801020d03130801020d0302027031440601020601060102060301325406010206030135080601020a3b0e0101020102020f04026d6d430601020d0301381c0e0101020102020f04026d6d1c0601020d030139120601020a0206010209010138010c0101040102120b06010215090601021346060102061c06010307020130040801020211320601020401060102040106010204010601020401060102040106010204380601020403026d6d040801020f030201323c0601020402013481190c010104010204010c01010401020402026d6d1c0601020e130601020e140601020e020270332f0e0101020102020f04026d6d2f0601020d0301356506010206030136720e0101020102020f04026d6d720601020d030138380e0101020102020f04026d6d380601020d01013946060102060e0e0101020102020f050e0101020102020f0e0e0101020102020f3806010104020130060801020211030130060601021702060102170a0601021704026d6d0608010215030208010215030a080102150303026d6d060801020f030201383d0601020401060102040106010204010601020402026d6d380601020e050601020e170801020d03050801020d030e0801020d030b0601020e02027032170601020a260e0101020102020f04026d6d3d0601020d03013561060102060301361d0e0101020102020f010e0101020102020f370601020604026d6d1d0601020d0106010d0d2a0a0e120e200e1216090a0940430f080a10280c0f0d090c0f120908813f090e090815090808172015090a10081b0e83665d1a1a080c0a1f1012090d09081109083720080a090a0a0c0a430a0d170812080a1a17090d081109083916080a0a36813d3a110a190d0908160908081a0e0825220a4e120d080a17080a1e0d090c09080c090c091a270d100a090a090a1a0e0811090c090d1f2c0a0814130d09080c090c09280912160a17251209081a');
INSERT INTO item_text_data VALUES(549755813891,X'00000f5f020d04303970385c060102060c060102060101610106010206010c010206010303010c010206010308010c0102060103060206010206010601020602060102070106010207020601030503060102060106010206010601020602060102060106010206010601030703060104030b060104030206010302010601030408060103050e060103030306010303020601030504060103060d0601030410060103060a0601030b0306010304010601030a0506010403020601030303060103040506010306020601020801060102080106010208010601020801060102080106010208010601020802060103030406010303060202010202010202010202010202010202010202010202010202010802010105010202010802010303010202010202010202020863636573736f7279811306010208010601020801060102080106010208010601020a010601020a0106010208010601020801060102080106010205010801020205010601020501060102050108010202050108010202050408756d756c61746f7281190601020c010601020c010601020c0304726f7373811006010303020466746572120601030602056c646f757305060103091f0601030503016c1006010306710601030503046d6f73747006010302030874617a696d757468040601021f020601021f010601021f0206010221010601022102016e05060102060306010206010601030a020601020701060102070106010207010601020604060102060306010206010601020601060102061c06010308010601030843060103060301640306010305020601030b11060103066d0601030302077065727475726581010c010103010214010c010103010214010c010103010214010c010103010214010c010103010217010c010103010214010c010103010217060601030503087072656e7469636514060101033a0601030502027265810306010306020173520601030326060103060201744b060103061506010303120601030315060103050f060103040303746963050c01010301030a5e0601030619060103030203786973150601030301016236060104030a06010403350202010802010304010202010202010202010202010202010202010202010202010202010202020361636b010601040207060103060706010402020601030d030167811c0601020703056c616e63652b060103054f0601030b03026e64810b0601010501060101050304726c6f77750c010103010208010c010103010208010c0101030102080106010208010c01010301020801060102080106010208010c0101030102080106010208010c010103010208010c010103010208010c010103010208040372656c010601021d010601021d010601021d010601021e010601021d010601021e010601021e010601021e01060102200106010220010601022001060102200106010220010601021e010601021d010601021d010601021d010601021e010601021d010601021d010601021e010601021e010601021d010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01021601030901060102160106010216010601021601060102160106010216010c010109010216010c010109010216010c010109010216010c010109010216010c010109010216010c01010901021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010216010304010c010108010216010c010107010216010c010107010216010c0101070102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010107010216010c01010701021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01010701021601060102160106010216010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010601021001060102120106010216010c0101070102100106010216010601021601060102160106010215010601021501080102050d01080102050d01080102050d01080102050d01080102050d010e0101050102050d01080102050d010e0101050102050c010e0101050102050d010e0101050102050d01080102050d01080102050d080601020f010601020f010c01010801020f010601020f010c01010701020f010c01010701020f010601020f010601020f010601020f010601020f010c01010501020f01080102050f01080102050f01080102050f01080102050f01080102070d01080102070d0701730506010304030273650f060103020305747465727981190601020b010601020b010601020b0201656e06010304130601030703056172696e6701060103081406010308030563617573652a060103040304666f72650c0601030a0b0601030770060103081206010306030767696e6e65727349060103020106010302010601030201060103020303696e6737060103040304727468610b06010103030273746906010303020269670f0601010281080601010602036c756576060103061a0601010302036f6f6b81070601030a05026564710601030403027468110601030c2b060103060304756768741b060103023106010304030178010601030c3206010307010601030715060103030106010303010601030301060103032306010305070601030a2606010208020472696e67110601030b4106010306020475696c7416060103030301744f0601030402017903060103070606010303050601030506060103042c060103062c0601030513060103040101638117060104030203616b654c0601030603026d655c060103020f060103070406010302050272617b06010304040170720601030603016e630601030803017003060103038100060103021c0601030203057272696573811d060103020302736518060104020b0601040213060104020a0601040235060104021e060103070406010402050e0101030102020604077365677261696e09080102050d01080102050d01080102050d01080102050d01080102050d09060103040203656c6c811b06010303030601030503046d656e74740601030203026e7481080601010601060101060106010106020468616972812106010103040372676581190601030202060103060603696e67811906010402030365636b0c060103081f060103030306696c6472656e130601030571060103030401704b0601030502076c65616e696e67710601030603046f756479740601030403027562400601030504057374657273070601030602036f616c1006010103040474696e67260601030303046c6f7572810e080102021001080102021001080102021003026d6181170e0101020102020b010e0101020102020b040470616e797e0601030303026f6c090601030d0206010304030772726563746f7281170e0101030102030b010e0101030102030b0303756c645e0601030704026e74080601030406096572776569676874730806010303030376657281030601030502067261636b656481100601030202077570626f617264040601040203060104020206010402010764616d616765648106060102150a060102110302726b1606010307030179810406010305020a65636c696e6174696f6e1506010302030265703306010106010601010601060101060301770a0601030202076961676f6e616c81130e0101030102020a010e0101030102020a010e0101030102020a010e0101040102020a02016f8106060103061506010304030762736f6e69616e010601021e0e0601021e010601021e010601021e030601021e03026573620601030903026e6581050601030c0301747606010307280c010103010208010601020803037a656e811c0601010602077261777475626581170601030603036966746c06010306130601030703056f7070656472060103020203757374030601030281100601030a01016518020201020201020201080201030501020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020202036467653b060103072306010303020469676874100601030702066c656d656e74410c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218060c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010212030c010105010212050c01010501021702086e67726176696e6745060103020209717561746f7269616c05080102071903080102071a03080102081b01080102081b01080102081b01080102071a04080102071a03080102071a01080102071a01080102071902037665727b06010307050579626f64790106010304060601030206036f6e652a0601030502097863657074696f6e730d0601030802027965180601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106060f8211591a0c0b110d0b23491747140a0d1c170a341909110f5a864f0809170d110c1a1d0a0b090f0f0b090e1035100b0826090a13090808130d302c100b140c100b0f12080e0b090c0a0b19170b0e1c0a09100b0e181409091113082e0e22090a150b0f0f0c10821d0f0b82500f470a110a10');
INSERT INTO item_text_data VALUES(549755813892,X'00070f8a0102082a0601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010c010208010309010c010208010309010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020801060102080106010208010601020802060103020106010208020601020801060102080106010208010601020801060102080406010304030601030a073065796563757018060103070606010302100601030305060101070106010107010601010704057069656365180601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c01060102060106010208010601020c0106010206010601020c010601020c010601020c010601020b010601020b0606010306170601030709017381170601030b0506010107040173580601030601016601060102080106010208010601020801060102090106010209010601020901060102090106010209010601020a010601020a010601020a010601020a010601020a0106010209010601020801060102080106010208010601020901060102080106010208010601020901060102090106010209490601030421020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020201020202056163746f727f0601030203026972730601030703046d696c7924060103060302737460060103090307766f757269746507060103041e06010303020466696f6e3106010304020469656c64180e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515011401010501020515010302010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010501020515010e01010501020515010e01010501020515010e0101050102051501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010c010107010205010c010107010205010c010107010205010c010107010205010c0101070102050106010205010601020501060102050106010205010601020501060102050106010205010c0102050103020106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205020e01010501020511010e01010501020515020e01010501020515010e01010501020515010e01010501020515010e01010601020514010601020503036c6c733b06010302040374657281010e0101050102030f010e0101050102030f010e0101050102030f010e0101050102030f010e01010501020312010e0101050102030f010e01010501020312010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010401020308010e01010301020308010e01010401020308010e01010401020308010e0101030102030803026e641706010304050265728103060103041b0e01010401020206010e01010301020206070573636f7065811e0601020901060102090401651e0601030542060103020302726d0206010304040273742a0601030803027473040601030402036c617452060101060106010106010601010601060101060106010106480601030403036f6f7201060104040e06010404020601040402046f63616c51060103051b060103020404757365721706010302070173090601030203056c64696e670206010307811e0601010204046c6f77730806010221010601022301060102230106010223010601022301060102230106010221070601022101060102210301720206010205010601020504060103050c06010205020601030606060103072406010307120601030207060103041806010305010601030508060103020208010302080306010304030e01010601020409010e01010601020409010e01010601020409010e01010601020409010e01020408010306010e01010601020409010801020408080601030204060101040306010302010c010104010308050601010404060101040303756e6405060103066706010304130601030306026572400601030804017214060103052d0c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c0101040102170f0c010104010216010c010104010216010c010104010216010c010104010216060c0101040102110203726f6d1806010304530601030304026e7481010601020601060102060106010206010601020601060102060106010206010c0102060103070203756c6c81010c010102010213010c010102010213010c010102010213010c010102010213010c010102010216010c010102010213010c01010201021603046e6775737106010302010667656e746c65770601010403027473330601030a010601030a020369667424060103020d0601030203027665090601030702046c617373811006010304060265734f0601030702016f0c0601030c03026573020601030903056c69617468110601010203026e65740601030303026f647e060103020205726176656c811d0601030603056561736564050601030d03046f756e64110601040303060103030501700e0601030819060103080a060103070204756573736c0601030c010468616c66090601030903026e646d06010107030472646c797b0601030604056d6c6573734b0601030904047665737473060103060301730c060103040204656176792b060103024f08010302050303726f6e04060101037d0c010108010404120c01010601030502036f7572090601030b0105696d61676581160601010302016e010c01020a01030a010601020a010601020a010601020b010c01020b010307010c01020b010308010601020b010c01020b010307010601020c010c01020c010305010601020c010601020c010601020c010601020b010601020a010601020a010601020a010601020b010601020a010601020a010601020b010601020b020601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010c01020a010307010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010c01020a010307010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a010601020a01060102040106010206010601020a010c010204010303010601020a020601020a03060102060106010206010601020601060102060106010206010601020601060102060106010206010601020601060102060106010206020c01020e010308010601020e010601020e010601020e0106010211020601021101060102070106010207010601020701060102070106010207010601020701060102070106010207010601020701060102070106010207010e0102060103030b010601020602060102060106010208010601020801060102060106010206010601020601060102030106010203010601020301060102030106010203010601020303026368010e01010501021309010801021383042683620e0881310c090b09130b851e0a8128091c120d0909092314100b0812338127140981680f2b3e0b0d0e0f090c0908090c09090d0c10120b0b090b0c0b08111a0a0d8624');
INSERT INTO item_text_data VALUES(549755813893,X'00050f7209030801021309010801021409010801021409010801021409010801021409010801021409010801021609010801021609010801021609010801021609010801021609010801021409010801021309010801021309010801021309010801021409010801021309010801021309010801021409010801021409010801021409010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601020d010601020f0106010213010601020d01060102130106010213010601021301060102120106010212010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d080601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020f010601020f010601020f010601020f010601020f010601020f0830696e646f6f72738119060103070304736964652706010305770601030a040770656374696f6e170601020c5a0601020b0f06010207060601020f0f060102070302746f370601030640060103050201730a060103040706010306340601030519060103040e0601030a0c060103080d0601030b120601030707060103080106010307020174020601030b0706010308030601030919060103052006010304200601030506060103090d0601030702060103080b0601030a020601030b1206010303020601030704060103030301730f060103052c06010303050601030701076a61636b6461770a0601010301046b65657006060103045f060103042e060103080501737806010302030270746206010302030579686f6c6541060103060207696c6f6772616d3c06010304030601030403026e644f06010305300601030802046e6f6273100601030801056c61726765810d060103040e0601010402036561640c060103030403726e7301060103050302667440060103020302677306060103060c0601030803026e64700601030816060103080503696e67170601030804036774686c06010303070173510601030604017327060103073a0c0101050102180112010105010218010308010c010105010217010c010105010217010c0101050102171b06010302020269647506010404030266740d060103040303676874810506010302090601010203026b65410601030203026e65810d06010105030474746c650206010102240601030508060103065b0601030403037665734e06010302450601030202036f6e670606010102100601030502060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010633060101061106010106010601010601060101060503657374510601030403046f6b656437060103050503696e6741060103035506010303030273740306010304030476656c79160601030801046d6164656c0601030e150601020a010601020a010601020a010601020a020601020a03066b7375746f7609080102040d01080102040d01080102040d03067269676f6c6407060101027f0601010704056b696e67736c06010107040173810f0601030303037463681b0601030402066561737572655e060103082906010302080164120601030406060103030f0601030a46060103050703696e677f06010305030167060601010303046d6265721606010302070173140601030603046e6465640c0601030602056964646c65070601040403026c6c110601040205026572080601010303026e647a06010309030472726f7209060103060b0601030202060101047d0c01010201020b010601020b010601020b010601020b03057373696e67730601020a03037865646f0601030702016d010a0102031008010a0102031008010a0102031008010a0102031108010a0102031108010a0102031108010a0102031108010a0102031108010a0102031308010a0102031308010a0102031308010a0102031308010a0102031308010a0102031108010a0102031008010a0102031008010a0102031008010a0102031108010a0102031008010a0102031008010a0102031108010a0102031108010a01020311080110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0116010103010203060b0103040116010103010203060b0103040110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b010e01010301020309010e0101030102030b0110010103010203060b010e010103010203090110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060a0110010103010203060a010601020401060102040106010204010601020401060102040106010204010601020401060102040106010204010c01020401030701060102040106010204050c01010901020f020c01010901020f0106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102040106010204010601020401060102040106010206010601020602056f6e6461791506010103040265794c0601030803026f6e81080e01010201020210010e01010201020210010e01010201020210040172810b060103080302726563060103020303756e740406010208010601020801060102080106010208010601020801060102090106010209010601020901060102090106010209010c0102080103020406010208030601020801060102080106010208030476696e67090601030402037563683f060103060302737481010601030601066e6172726f77050c01021c010303120601021c3806010302140c010106010214010c010106010214010c010106010214010c010106010214010c010106010214010c0101060102140112010106010214010306010c010106010214010c010106010214110c01010401020e0f060101040106010104020365617281060601030305026c793c06010302030462756c61810b0e01010201020210010e01010201020210010e0101020102021003036564730206010302150601020b5706010302030601020a0f06010206060601020e0706010302080601020603046c6c69651206010103030376657212060103035b06010304030777746f6e69616e010601020d010601020d010601020d0b0601020e010601020d010601020d010601020d010601020e020601020d010601020e020601020e0204696768741f060103030106010303010601030378060103050601731b0601030902016f0d060103075f0601010613060101040304626f64795e060103060e0601030d03017427060103094c06010302120601030501060103070b06010305050601030705060103050204796c6f6e81010601030301096f6273657276696e6781210601010202016624060103030a0601030703060103033806010304060601030607060103030b060102070106010207010c010207010308010601020701060102070106010207010601020702026c640b06010102040265722606010302720601010402016e010c010205010306030c0102050103050106010205010601020501060102050106010205010601020601060102060106010206010601020601060102060106010205010c01020501030401060102050106010205010601020502060102050106010205010c01020501030901060102051c060103050106010305420601030804060103071606010305070601030485650f10220e3549120e1508090c130e0b120a0a090e0e0a0a0838090910090a1a0f810c0a0b0f090b241a120c090a12170a080b080b0c0909092c0c0a896d0c09200909530b0a0a770b09222d0b0f401a081210260c1147090e');
INSERT INTO item_text_data VALUES(549755813894,X'00000f5404306f6e65010601030301060103081206010308160601030361060103030401733f0601030a210601030a090601030703026c7905060103054c060103070706010307020572616e6765810f06010102030563686172640106010103810206010108030364657281100601030603066967696e616c6506010303020474686572160601020e02027572700601030627060103090301741706010305020376657214060103072b060103025e0601030505036475658105060103040202776e0f060103066d060103061b0601030a01047061636b81190e01010301020309010e01010301020309010e01010301020309030464646564811c06010102040173010601030903026c6581100601010203037065726b060103050601737f0601010503027274100601030373060103070501736f0601030803067469656e636552060103070204656e6e79170601010203046f706c650d060103036e06010305030172810806010105010601010501060101050207696e686f6c657381060601030202046c61696e750601021101060102110106010211020601021103060102100206010211020601021104046e657473160601030a810006010309050174030601030903076f7567686d616e0e06010103810f06010304030275670c0601030781070601030b04016d020601010302056f636b65740a0601030803086c61726973696e6781110e01010301020210010e0101020102021003026f72600601030603057374626f781306010103710601010803037765720c060103025706010303360e01010201020209010e01010201020209010e0101020102020902047269736d81130601020c010c01010201020c010c01010201020c010601020c03056f6a656374160601010504056d70746c792506010306020575626c69631b0601030804060103020106010302010601030201057175696574150601010201067261697365641806010306030574746c65738100060103031506010302020165050601030c03056275696c740e060103040301641306010302810b0c01010201020701060102070307666c6563746f720106010204010601020401060102040b0601020401060102040106010204010601020401060102040206010204010601020402060102040a01738117060101070406726163746f7204080102040c01080102040c01080102040c01080102040c01080102040c0b080102040b0a0173790601030503046c6965661812010107010209010302010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c0101070102090106010209010c0102090103090106010209010601020901060102090106010209010601020901060102090106010209010c010108010209010c010108010209010c010108010209010c010108010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c010209010303010601020901060102090106010209010601020901060102090106010209010c01010701020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c01020901030202060103030106010209020c010107010209010c010107010209010c010107010209010601020901060102090406010305030470616972150601020c5d0601020b1e060102080b0601020704056c616365640306010306030273746c0601030903057469726564740601020a040375726e25060103040204696769642e0601030203016d4b060103083b0601030503026e6781110601030402056f636b657201060102070e0601020701060102070106010207030601020703036c6c730f060103030303756e64210601030703017718060104040b0601040413060104040a060104040205756262657237060103030304737365740f0601010301017307060103030406010104060c01010301030902060103061e060103054b0601030508060103040f060103060203616c654c06010307030475636572030601030a0302797333060103020106010302020463616c658117060103030305686d6964740c080102040d01080102040d04096f6f6c6d61737465720c060101030304726577733c06010307450601030403057574746c651006010104020365617404060103080304636f6e642a060103024306010106070361727912060103020302656e730601030303057276696365010601020b010601020b010601020b010601020c010601020c010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020c010601020b010601020b010601020b010601020c010601020b010601020b020601020c020601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b01060102050106010207010601020b0106010205010601020b05060102070106010207010601020701060102070106010207010601020701060102070106010207010601020701060102070106010207020601020f010601020f010601020f010601020f01060102120206010212010601020801060102080106010208010601020801060102080106010208010601020801060102080206010208010601020801060102070106010207020601020701060102090106010209010601020701060102070206010204010601020401060102040106010204010601020401060102040301741f0601030401060103040106010304620601030a0106010306020568616b656e8115060103040402727052060103020303656c66811906010403030469656c640a0601030304026e65810d0601030703036f727436060101070106010107010601010701060101071f0601030221060103040604656e6564120601030a040177620601030402036964650a0601030703046d706c6504060102070206010207010601020702060102080106010208580601030703036e636573060103040403676c65810d060101040304737465720b06010105030274732706010304030378747905060101045e06010307190601030402026b790806010223010601022501060102250106010225010601022501060102250106010223070601022301060102235a0601030702046c697073170601030303026f770b0601030202046d616c6c3f060103090c06010304550601010602036f66745e0601030503036c617281010e01010401020211010e01010401020211010e01010401020211010e01010401020211010e01010401020214010e01010401020211010e010104010202140204706172650106010307811d0601030703036c69741e0601030303026f747106010303030472696e677206010305020774616e64617264020601021c010601021c030601021d030601021f010601021f080601021d010601021c010601021c040601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215070601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215050601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021503060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215020601021501060102150a0601020f0106010211010601021502060102150106010215010601021501060102140106010214010601020f010601020f010601020f010601020f010601020f020601020f040601020f010601020f080601020e010601020e020601020e030601020e010601020e010601020e010601020e030c010104010211010c010104010211010601021104017281130601020901060102090106010209010601020903046561647912060103050401701106010304030469636b7315060103040402666681090601030504026c6c1e0601030403036f6f6c11060103050401702706010303370601030a0306726169676874811f0601010204036f6e6770060103040202756e810106010212010601021201060102120106010212010c0102150103080106010212010601021518060103060206776f6c6c656e811b06010302010174010202010202010202010202010202010202010202010202010202010202010202010202010202010202010202010202010802010307010202010202010202010202010202010202450601030409060103071c0601020c010601020c010601020c010601020c020601020c020461626c65020c01020701030501060102071006010207810d060101030603746f70020601021e010601021e100601021e041e12130d120b0d0b0e08140b13220c080a0a080e080d0b10130f291108140f080c1d09112a210c0c1b0c0d12080c1640092c0884351a0c090c0a0b0d0a200a0a170c0b2e0a0b0e0c1310100c0a100a0985751c0d090b0b0a230b080a240a0b0b0914360b09150a45110a090b836f180b080b0a090a0d0e0a300e6e1e');
INSERT INTO item_text_data VALUES(549755813895,X'00000f6805307461636b5206010305050179370601030203026b65810b0601030505017305060103022906010304700601030203026c6c06060103020c06010102030270652106010306050164811e0601030902056561637570110601010403096c6563656e74726963780c010103010211020c010103010211010c010103010211020c010103010211050573636f7065010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020e010601020e010601020e010601020e010601020e010601020d010601020c010601020c010601020c010601020d010c01020c010307010601020c010601020d01080102040b010601020d6a060102090106010209010601020901060102090106010209010601020901060102090a017381200601010703016e450601030703027374810506010303020368616e63060103040401746b06010306030165010e0101020103020b01060103060206010102010c0101020103080106010305020c010102010222010c0102240103050112010102010224010306010c010224010306010c010102010224010c010224010305011201010201022201030602060101020206010307010c01010201030401060101020106010222010c0101020102220206010305090601030803060103040306010306030601030701060103040306010308050601030601060103060706010306040601030801060103040b06010307030601030403060103030d060103090206010308030601030502060103020408010302050206010304010601030806060103040106010305030601030902060103030106010303010601030a010801030308010601030202060103050312010107010205010403010c01010701020501120101070102050103090112010107010205010302010c010205010307010c010205010304010e01020501030305040801030207060801030305020e01010501030407030801030505010e010105010302050206010304040601030301060103060106010305010601010504016d08060103050305696d626c6509060101027906010108030472656164810806010206010c010206010302010601020601060102060106010206010601020601060102060106010206010601020601060102060106010206050165580c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c0101040102170a0c010104010216010c010104010216010c010104010211080c0101040102160d06010302050573686f6c640d0601010204046f7567684106010304020369656406060103070305676874656e10060103052c0601030503046d696e676c0601030702016f090601030c02060103031006010303200601030505060103030f0601030613060103030c06010303170c01010701020d020c01010701020d040801030404020601030603026e65260601030803016f110601030a2e0601030531060103030301700406010404050601040402077261636b696e670806010220010601022201060102220106010222010601022201060102220106010220070601022001060102200402696e0406010307040476656c7304060103020307656173757265724006010309030469706f64060601030303056f6c6c65790c0601040201060104028110060101020303757373110601030202037562650d06010306030601030401060103030206010303740601030405017381050c01010a01020b020c01010a01020b030565736461790e060103070302726e8111060103020501737706010302020377696e760601030203016f08060103020506010302030601030206060101034b0c010104010217010c010104010217010c010104010216010c010104010216010c01010401021638060101030107756e6b6e6f776e7f06010309030374696c810506010309020170811f060103080305726967687481160601010202027365630601030901087661726961626c6581110601010202036572793606010104010601010401060101040106010104010601010401060101040106010104370601010402036965774f0601030303056c6c6167658116060103060104776169740b060103070503696e67150601030503056c6b696e67310601030604016c01060104030e0601040303036e74732a060103060302726d260601030604046e696e67700601030b0301730e0601030302066569676865646e0601030503026c6c040601030303027265120601030902016881190c010105010205010c0101050102050106010205030261746206010305030465656c730f06010307810e0601010404016e811506010303050465766572811f0601030403017917060103060203696465010601021c030601021d030601021d010601021d030601021f010601021f010601021f010601021d010601021c010601021c010601021c040601021d010601021d020c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217011001010406010215040110010104060102150401100101040601021504011001010406010215040110010104060102150401100101040601021504010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c01010501021701100101050401021504010e01010601021504010e01010601021504010e010106010215040106010217100c010106010215010c0101060102150f0c0101060102150d0c010104010213010c010104010217010c01010601020f010c010104010217010c010104010217010c010104010217010c010105010216070c01010401020f030c01010401020f010c01010401020f07060102100206010210030c01010701020e020c01010601020e010c01010601020e050c01010401020e010601021104060102110106010211050273743d0601010401060101040106010104010601010403026e64060601030905066f7773696c6c03060101020403746572140601030903027468020601030a4a0601030502060103030e060103030906010306060601030805060103090a06010303070601040202036f726e4506010303040274680b0601030501057965617273810f0601030403046c6c6f7721060103056d0601010302026f750c0601030b7b0601030904026e67580601030500033130300102030102030102030102030102030102030102030102030102030f020301020301020301080301030601020301020301020301020301020345060103081c0601020d010601020d010601020d030601020d0201310a02030102030102030102030102030102030102030108030103080102030102030e0203010203010203010203010203010203010203010203010203010203320601030519020301060103050b0203030601020d0f02030201321402030102030102030102031402030102030102030102030102030102030102030102030102030102034202030c02031202030201333502030102030102030102030102030102030102030102030102030102033902030c02031202030201343f02030102030102030102030102030102030102030102030102030102033002030c02031202030201354902030102030102030102030102030102030102030102030102030102032702030c02031202030201365302030102030102030102030102030102030102030102030102030102031e02030c02031202030201375d02030102030102030102030102030102030102030102030102030102031502030c02031202030201386702030102030102030102030102030102030102030102030102030102030c02030c02031202030201397102030102030102030102030902030c0203120203020170050601021a120601021a4c0601021201060102120106010212010601021201060102120106010212010601021201060102120106010212110601020c01023130060601020a010c0102020f0303020c010202110303030601020b010801020b0c0206010212060a0102150303080601020e010601020e12100101020102020d0409100101020102020d040b120101020102020d030301120101020102020d03031b0601030514120101020102020c03030a02030c0203120203020131020c0102020e0303030601020a0d0c0102020f03031e0601020e090601020e0e0601020625120101020102020703031302030c0203120203020132010a0102140303070c0102020f0303010601020b010e0102020b080303010601020b040a01021403030106010212040a01021403030b120101020102020d030301120101020102020d030301120101020102020d03031506010206010601020601060102060e120101020102020d03030f120101020102020d030305120101020102020d0303030601020605120101020102020d030302120101020102020d030304120101020102020d03030f060103040902030c0203120203020133030c0102020e0303060a01021703030d0601020a1b100101020102020d04040601020604060102063a120101020102020c0303120c01010601020c0306010104020601010403020312020302013426120101020102020d03030806010206030601020e0d120101020102020d03030a060102060e0601020613060102060a06010206120c01010801020e0902031202030201350a0a0102170303010c010202110303030c0102020f0303020a0102140303040c0102020e03031f0c01020601030b011a0101020102020609030301030b061401010201020206090303030601020601060102060106010206010601020607100101020102020d04400c01010601020c0802031202030201361106010212050c0102020f03030c100101020102020d040b06010206020601020601060102060b060102060c0601020e17060102060f120101020102020903031a0c01010801020e090203020137220601020e0f0601020601140101020102020609030329120101020102020d0303100601020603060102062302030201380b0a0102170303060a010214030307060102060d120101020102020d030317060102060d060102060106010206010601020601060102060a120101020102020d030313120101020102020d030301060102062802030201393b12010102010202040b080a120e09090c2b812109080a0a088321081141700c0b0a110b4609120d36090b0e0b170a1e140c0a080a440e0b090d09102d0a0d0b0a0c0d0a090b080d0909190911090c08843d18090d0a310a090d100e09575a362a2a2a2a2a2a183f7d3b813d4e45784e3158');
INSERT INTO item_text_data VALUES(549755813896,X'00000f860d030303313170020801021904010801021904030801021a04030801021c04010801021c04080801021a040108010219040108010219040408010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040708010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040508010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040308010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040208010212040108010212040106010206090801020c04010801020e04010801021204020801021204010801021204010801021204010801021104010801021104010801020c04010801020c04011401010201020209030404010801020c04010801020c04020801020c0403100101020102020903011401010201020209030404010801020c04080801020b04010801020b04020801020b04030801020b04010801020b04010801020b04010801020b04030801020e04010801020e04010801020e04010601020401023230010c0102020e03030b12010202110303060303090c0102020f0303010a010215030303060102060106010206010601020601060102060a060102060d0601030301060103030b120101020102020d030309120101020102020d030314120101020102020d030305120101020102020d030304120101020102020d03030b06010206010601020601060102060201311d0601020601060102060106010206010601020601060102060106010206010601020601060102064d120101020102020d030302013223120101020102020d030301120101020102020d030301060102060206010206010601020625060102060106010206020133290601020601060102062d06010206020134050601021912060102191506010206330601020604060102110106010211010601021101060102110106010211010601021101060102110106010211010601021103120101020102020d03030e080102030a1f060102040201350d12010202110303060303020c0102020e03031c060102061e120101020102020d030301120101020102020d030301120101020102020d030301120101020102020d030311120101020102020d03030d120101020102020d03031f0601010402013627120101020102020d030301120101020102020d03030201383c120101020102020d030313060102060f120101020102020d03030201395006010206020169010601021b030601021c030601021c010601021c030601021e010601021e010601021e010601021c010601021b010601021b010601021b040601021c010601021c1106010214010601021401060102140106010214010601021401060102141006010214010601021401060102140106010214110601021401060102140f060102140f0601020e0b0601020e030601020e010601020e0c0601020d020601020d010601020d050601020d01060102100406010210010601021002016d700601020e0201704106010206170601020618100101020102020d040810010102010202090308100101020102020903020178750601020901060102090406010209020601020901023330100c0102020e030347120101020102020d030314120101020102020d0303020131020601021801060102180306010219030601021b010601021b08060102190106010218010601021804060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021103100101020102020d0401100101020102020d040306010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110506010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211030601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010206010601021101060102110a0601020b010601020d01060102110206010211010601021101060102110106010210010601021001080102030a01080102030a01080102030a01080102030a01080102030a02080102030a030601030601080102030a01080102030a08080102040801080102040802080102040803080102040801080102040801080102040801080102040803080102030c01080102030c01080102030c020132290601020e010601020e23120101020102020d030301120101020102020d0303150601020402013462060102040201356f120101020102020703030201362b120101020102020d030334120101020102020d0303020601020403060102040201384f060102040206010206140601020402016d180601020e02017018100101020102020d041d100101020102020d041d060102060706010206020178790601020901023430110c0102020e0303020a01021403033c120101020102020d0303090601020401060102040d060102040e060102040201312c120101020102020d030302013250120101020102020d0303020601020401060102040106010204010601020401060102040406010204050601020408060102040106010204010601020402060102040201345b0601020403060102040201355706010204050601020401060102040d060102040201365106010204020138040a010215030349060102040106010204120601020402016d350601020e010601020e0b0801020d03220801020d0302017002060102090f0601020908100101020102020d041d100101020102020d040c060102062006010206020601020610060102060201787d06010209010235300106010218010a0102140303020601021903060102190106010219030601021b010601021b010601021b010601021901060102180106010218010601021804060102190106010219110601021101060102110106010211010601021101060102110106010211100601021101060102110106010211010601021102060102040f0601021101060102110f140101020102020d0303040f0601020b0b080102030a03080102030a01080102030a0c080102040802080102040801080102040805080102040801080102030c04080102050a01080102050a070601010502013242060102040106010204010601020401060102040106010204010601020401060102040106010204010601020401060102040106010204020136500601020401120101020102020d030302016d190601020e140601020e130601020e120801020d030201700106010209120601020907100101020102020d0401100101020102020d0412100101020102020d0413100101020102020d040306010206100601020607060102060c060102060201787b0601020901023630050c0102020f030321060102040606010204070601020402060102043906010204020132180601020401060102040106010204010601020401060102040106010204010601020401060102040106010204010601020401060102040506010204490601020401060102040106010204020134230601020401060102040106010204020135030a010214030331060102043906010204020136070a0102150303210601020401060102040106010204010601020402016d1a0601020e010601020e180601020e0f0601020e160801020d03020170070601020a27100101020102020d0405100101020102020d0404100101020102020d040b100101020102020d0401023730050a01021503030e0c0102020e0303040a01021503031606010204010601020401060102040106010204010601020401060102040201350e0a0102150303020136170c0102020f030302016d2e0601020e090601020e1c0801020d03130801020d03020170080601020a0a0601020a020601020908100101020102020d0427100101020102020d04010601020601060102060f0601020601023830040c0102020f030332060102040106010204010601020401060102040106010204010601020438060102040201323c0601020402013481190c010104010204010c01010401020402016d1c0601020e130601020e140601020e0201702f100101020102020d0409100101020102020d042d060102060d100101020102020d040102393006120102020f0303060303020a01021503030a0a01021503030201383d0601020401060102040106010204010601020402016d380601020e050601020e170801020d03050801020d030e0801020d030b0601020e020170170601020a06100101020102020d0401100101020102020d041f100101020102020d041806010206070601020605060102060706010206010261638110060103030306010208010601020801060102080106010208010601020a010601020a010801020806010801020806010801020806010601020501080102020501060102050106010205010801020205010801020205020166120601030602016c040601021f0106010309010601021f010601021f02060102210106010221060601030614060103054c06010302110601030502016e0306010305020c01020601030b0306010206010601030a020601020701060102070106010207010601020604060102060306010206010c01020601030601060102061c06010308010601030843060103060c0601030302017014060101033a06010305330c010103010214010c010103010214010c010103010214010c010103010214010c010103010217010c010103010214010c010103010217060601030502017281030601030602017352060103032606010306020174050c01010301030a4606010306150601030303060103060f060103030a060103030b060103050f06010304020178150601030301026261010c01021d010402010601021d010601021d010601021e010c01021d010304010601021e010601021e010c01021e01030601060102200106010220010601022001060102078464810f3632125a62191e08813c082b1722841328080e2312082108320e450d170819193508815f3a13184908254e12141e1d30380a0b19352f081412261d17243a5b0835594a090d2e08');
INSERT INTO item_text_data VALUES(549755813897,X'00050fac200d06010220010601021e011201021d010302010402010601021d010c01021d01030d010601021e010601021d010601021d010601021e010601021e010601021d010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01021601030901060102160106010216010601021601060102160106010216010c010109010216010c010109010216010c010109010216010c0101090102160112010109010216010305010c01010901021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010216010304010c010108010216010c010107010216010c010107010216010c0101070102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010107010216010c01010701021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01010701021601060102160106010216010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010601021001060102120106010216010c010107010210010601021601060102160106010216010601021501060102150110010103010205050a0110010103010205050a0110010103010205050a010a010205050a0110010103010205050a0116010105010205050a01030b010a010205050a01120101030401020505090110010105010205050a011201010304010205050a0110010103010205050a0110010103010205050a080601020f010601020f010c01010801020f010c01010501020f010e0101050401020f010c01010701020f010601020f010601020f010601020f010601020f010c01010501020f01080102050f01080102050f01080102050f01080102050f01080102070d01080102070d010601020b010601020b010601020b01060102070331626501060103080a06010103010601030a0906010308020601030713060103040d0601030412060103020106010302010601030201060103021d0601030305060103041306010307060601030812060103060201690f0601010281080601010602016c76060103061a0601010302016f010601030c100601030c0a060103021806010307010601030708060103060d060103030106010303010601030301080103030323060103050206010304050601030a110601030a1506010208020172110601030b41060103060201751606010303390601030402017903060103070606010303050601030506060103042c060103062c06010305130601030401026361030601030306080102050d01080102050d01080102050d01080102050d01080102050d090601030402060104020b0601040213060104020a060104020c060103061006010302070601030808060103070406010302030601030603060104020606010304080601030210060103070406010402050e01010301020206010601030202060103020201657406010302140601010601060101060106010106110601030303060103050201680c060103080706010305180601030320060103053906010303150c0103020104020206010306060601010302016c070601030639060103053106010306030601030402016f080801030303010601030d0206010304050601010316060103033806010307200601030305060103050b0801020210010801020210010801020210071401010203010202030a03011401010203010202030a030201728110060103020201750406010402030601040202060104020102646116060103076e0601030502060102150a060102110201650a060103020b060103021e060101060106010106010601010602016981130e0101030102020a010e0101030102020a010e0101030102020a010e0101040102020a02016f010601021e0e0601021e010601021e010601021e030601021e4e0601030914060103070f0601030c010601030615060103040106010106020c01010301020801060102080201726c0601030606060103020d060103071806010306020175030601030281100601030a010265643b060103072306010303020169100601030702016c410c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218060c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010212030c010105010212050c01010501021702016e450601030202017105080102071903080102071a03080102081b01080102081b01080102081b01080102071a04080102071a03080102071a01080102071a01080102071902017601060103040606010302230601030551060103070201780d06010308020179180e01020806010307010801020806010801020806010801020806010801020806010801020806010e01020806010302010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010e01020806010303010801020806010801020806010801020806010801020806011401010701020806010309011401010701020806010309010e01010701020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010e010208060103060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060106010206010c010208010302010801020806010601020601080102080601080102080601080102080601080102080501080102080504060103040206010306010601030a1606010307060601030b05060101070102666107060103041d0601030601060103033b0601030913060103070c060103020201663106010304020169020601030402060103041306010304010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515011401010501020515010305010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515011401010501020515010302010e01010501020515010e01010501020515011401010501020515010308010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515011401010601020515010302010e01010601020515010e01010501020515010e01010501020515010e01010501020515010e0101050102051501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010c010107010205010c010107010205010c010107010205010c010107010205010c0101070102050106010205010601020501060102050106010205010601020501060102050106010205010c0102050103020106010205010c01020501030201060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205020e01010501020511010e01010501020515020e01010501020515010e01010501020515010e01010501020515010e0101060102051401060102050d0e0101050102030f010e0101050102030f01140101050102030f010304010e0101050102030f010e01010501020312010e0101050102030f010e01010501020312010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010401020308010e01010301020308010e01010401020308010e01010401020308010e010103010203080c1001010401020206050110010103010202060502016c01060104040e06010404020601040441060101060106010106010601010601060101060106010106480601030402016f020c0102050103070106010205020601030602060103050106010221010c0102230103020106010223010601022301060102230106010223010601022105060102050106010305010c01022101030601060102210106010302040601030724060103070106010308010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217011401010401021701030205010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c01010401021701060103040e0c010104865a540e0d4f0d0d26810a212e17560912181c2847170e0e08824b083f1708846a2208866f30');
INSERT INTO item_text_data VALUES(549755813898,X'00070fab010216670c010104010216010c010104010216010c010104010216030801030204030c01010401021101060103050106010305080601030202080103020803060103040106010303020e01010601020409010e01010601020409010e01010601020409010e01010601020409010e01020408010306010e01010601020409010801020408080601030204060101040306010302010c01010401030805060101040408010102040331667218060103045306010303160601020601060102060106010206010601020601060102060106010206010c0102060103070201757106010302100c010102010213010c010102010213010c010102010213010c010102010213010c010102010216010c010102010213010c01010201021601026765330601030a010601030a430601010402016909060103071b060103020d0601030202016c4f06010307410601030402016f02060103090a0601030c050601010263060103030a06010302020172050601030d09060103080306010403030601030313060103080a060103076c060103060201756c0601030c01026861090601030903060103043f06010309220601010706060103060806010306020165040601010327060103024f0801030205070c010108010404120c01010601030502016f090601030b0102696d81160601010302016e011601010501020a0b0901030a010a01020a0b09010a01020a0b09010a01020b0b09011001020b0b09010307011001020b0b09010308010a01020b0b09011001020b0b09010307010a01020c0c09011001020c0c09010305010a01020c0c09010a01020c0c09010a01020c0c09010a01020b0b09010a01020a0b09010a01020a0b09010a01020a0b09010a01020b0b09010a01020a0b09010a01020a0b09010a01020b0b09010a01020b0b09010a01020c0a09010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010e01020a0b010307010e01020a0b010305010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010e01020a0b010306010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010e01020a0b010307010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b010801020a0b01080102040b01080102060b010801020a0b010e0102040b010303010801020a0b010801020b0a010801020a0b01060102120106010212010801020609010801020609010e01020609010305010801020609010801020609010801020609010801020609010801020609010801020609010801020609010801020609010801020708010c01020e010308010601020e010601020e010601020e0106010211010601020f010601021101080102070701080102070701080102070701080102070701080102070701080102070701080102070701080102070701080102070701080102070701080102070701100102060b0103030b01080102060b01080102070a01080102060b010801020809010801020809010c0102060103070106010206010601020601060102030106010203010c01020301030a0106010203010601020301060102030201730a060103040706010306340601030519060103040e0601030a0c060103080d0601030b120601030707060103080106010307020174020601030b0706010308030601030903060103051606010305160601030305060103070506010304200601030506060103090d0601030702060103080b0601030a020601030b12060103030206010307040601030301026a610a0601010301026b6506060103043b060103062106010302030601030413060103021b060103080201693c0601030403060103041006010305300601030802016e100601030801026c61810d060103040e0601010402016501060103050506010306060601030306060103080506010308100601030719060103021106010306100c0101050102180112010105010218010308010c010105010217010c010105010217010c010105010217070601030304060103081006010302060601030802016902060101020b060103041906010305080601030613060103020d0601030227060104041006010302040601030404060101050106010102050601030202016f030601030403060101021008010305050206010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060b060103050a0601030310060103040e06010106110601010601060101060106010106240601030301026d61070601010202080102040d01080102040d01080102040d1006010304510c01010701030e150601020a010601020a010601020a010601020a020c01010701020a09060103030201650606010103060601030606060103040206010306020601030202060103030f0601030a37060103080f06010305120601030508060103020201690706010404010601010301060103060806010402030601030202060101045906010307040601020a0706010309190c01010201020b010601020b010601020b010601020b02016d010a0102031008010a0102031008010a0102031008010a0102031108010a0102031108010a0102031108010a0102031108010a0102031108010a0102031308010a0102031308010a0102031308010a0102031308010a0102031308010a0102031108010a0102031008010a0102031008010a0102031008010a0102031108010a0102031008010a0102031008010a0102031108010a0102031108010a01020311080110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0116010103010203060b0103040116010103010203060b0103040110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060b010e01010301020309010e0101030102030b0110010103010203060b010e010103010203090110010103010203060b0110010103010203060b0110010103010203060b0110010103010203060a0110010103010203060a010601020401060102040106010204010601020401060102040106010204010601020401060102040106010204010c01020401030701060102040106010204050c01010901020f020c01010901020f0106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102040106010204010601020401060102040106010206010601020602016f04060102080106010208010601020801060102080106010208010c0102090103040106010209010601020901060102090106010209010c0102080103020406010208030c0101030102080106010208010601020835060103081706010302250e01010201020210010e01010201020210010e0101020102021001060103080201753f06010306420601030601026e61050c01021c010303120601021c3806010302140c010106010214010c010106010214010c010106010214010c010106010214010c010106010214010c0101060102140112010106010214010306010c010106010214010c010106010214110c01010401020e0f060101040106010104020165010601020d010c01020d010302010601020d0b0601020e010601020d010601020d010601020d011201010301020e010303020601020d010601020e020801020b05250601030231060103040106010302030601020a0f06010206060c01020e010303050e01010201020210010e0101020102021001140101020102021001030208060102060201691b06010309040601030301060103030106010303780601030502016f0d060103071a0601030937060103060e0c01010601030d07060103020c060101040606010305010601812a344013120d1c26082223080a877f3558092217080f6a3f8124493a47896d81010d7381081c');
INSERT INTO item_text_data VALUES(549755813899,X'00060fa603078111060103050506010307050601030503316e7981010601030301026f6281210601010202016624060103030a0601030703060103033806010304060601030607060103030b060102070106010207010c010207010308010601020701060102070106010207010601020702016c0b060101021b06010302720601010402016e010e010205010303050106010308020c010205010305010c010205010305010601020501060102050106010205010601020601060102060106010206010601020601060102060106010205010c010205010304010601020501060102050106010205020c0102050103080106010205010c01020501030901060102051306010303090601030501060103050b0601030a12060103070706010307080601030a09060103070d060103080406010307110601030305060103050706010304020172010601010364060103031e060101080c060101020106010306020174160601020e02017517060103055906010306270601030902017614060103072b06010302460601030418060103050201770f060103066d060103061b0601030a0102706101060103090f06010303420601030719060103050406010308100601010504060103070d06010102090e01010301020309010e01010301020309010e0101030102030901060101020201650d060103030a0601010264060103050d060101050106010105010601010502016981060601030202016c0206010103010601030909060103070206010103080601030a5f06010211010601021101060102110206010211030601021002060102110206010211130601030b0306010309070601030402016f0a06010308020601030207060101034d06010306030601030321060101080d0e01010301020210010e01010201020210070e01010201020209010e01010201020209010e0101020102020902017216060101050f060103066e0601020c010c01010201020c010c01010201020c010601020c0201751b060103080406010302010601030201060103020102717515060101020102726118060103066806010303150601030202016501060102040106010204010c01020401030601080102040c010e0102040c01030c01080102040c01080102040c01080102040c060c0102040103040106010204010601020401060102040106010204010e0102040b010302010601020401080102040a02060102040112010107010209010302010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c0101070102090112010107010209010304010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c0101070102090106010209010c0102090103090106010209010601020901060102090106010209010601020901060102090106010209010c010108010209010c010108010209010c010108010209010c010108010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c010209010303010601020901060102090106010209010601020901060102090106010209010c01010701020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c010209010302010601030901060103030106010209020c010107010209010c010107010209010e01010701020904010601020901080102090304060103050106010305170601020807060101070406010207030c01010201020701060102070201692e060103021d060103083b060103050b0601030402016f01060102070e0c01020701030301060102070106010207030601020704060104040906010307020601040413060104040a060104040201750f06010103280601030301027361030601030a3006010302010601030218060103070201630c0e0101030102040d01080102040d03060101042c0601030745060103041606010303020165010601020b010601020b010601020b010c01020c010308010601020c010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020c010601020b010601020b010601020b010c01020c010302010601020b010601020b020601020c020601020b010601020b010601020b010601020b010601020b010601020b010601020b010c01020b010304010c01020b010304010c01020b010304010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010c01020b010302010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b0106010205010c010106010207010601020b0106010205010601020b030601030302060102070106010207010601020701060102070106010207010601020701060102070106010207010601020701060102070106010207020601020f010601020f010c01020f01030a010c01020f01030601060102120206010212010601020801060102080106010208010601020801060102080106010208010601020801060102080206010208010601020801060102070106010207020601020701060102090106010209010601020701060102070206010204010601020401060102040106010204010601020401060102040201680a06010303080601030a2406010107010601010701060101070106010107190601030206060103020a06010304170601030414060103070806010304040601040302016904060102070106010104010601020701060102070206010208010c01020801030701060101051c060103043b06010307010601030710060103040906010304110601010402016b0806010223010601022501060102250106010225010601022501060102250106010223070601022301060102235a0601030702016c0b060103020c0601030302016d3f060103090c06010304550601010602016f5e06010305230e01010401020211010e01010401020211010e01010401020211010e01010401020211010e01010401020214010e01010401020211010e0101040102021402017001060103071d06010303530601030301060103052c06010307020174020601021c010601021c030601021d030601021f010601021f070801030403010c01021d010305010601021c010601021c0106010304030601021501060102150106010215010601021501060102150106010215010c0102150103040106010215010601021501060102150106010215010601021501060102150106010215010601021501060103030606010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150506010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215030601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010c01021501030a0106010215020601021501060102150a0601020f01060102110106010215020c0102150103040106010215010601021501060102140106010214010601020f010601020f010601020f010601020f010601020f020601020f040601020f010601020f080601020e010c01020e010305020601020e030601020e010601020e010601020e010601020e0206010209010e0101040102090a010e0101040102090a01080102090a0906010102020175810106010212010601021201060102120106010212010c010215010308010601021201060102151806010306020177811b0601030201027461020e01020719010305010801020719020601030201060103020c060101020108010207190e060103060d0601030409060103021b0601030539060103051308010302090206010103020165010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020e010601020e010601020e010601020e010601020e010601020d010601020c010601020c010c01010401020c010601020d010c01020c010307010601020c010601020d01080102040b010601020d2e06010307330c010103010211020c010103010211010c010103010211020c0101030102110406010209010601020901060102090106010209010c010209010303010601020901060102091906010107020168010e0101020103020b01060103060206010102010c0101020103080106010305021201010201022201030501120101020102240103050112010102010224010306010c010224010306010c0101020102240112010102010224010305011201010201022201030602060101020206010307010c01010201030401060101020106010222010c01010201022202060103050906010308030601030403060103060306010307010601030403060103080506010306010601030607060103060406010308010601030401060103040a0601030703060103040306010303070c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c0101040102170112010104010217010309010c01010401021701120101040102170103080308010304030206010302040801030205010c010104010216011401010401021601030404011201010401021101030806060103040106010305010c010104010216020601030902060103030106010303010601160a0a471281401c081217124c21094e4e27170913854517380d182686114447350d12471c84152f094c814d');
INSERT INTO item_text_data VALUES(549755813900,X'00060f26030a7b0801030308010601030202060103050318010107010205010302010403010e0101070301020501120101070102050103090112010107010205010302010c010205010307010c010205010304010e010205010303050106010206010c0102060103020106010206010e0102060103020701060102060106010206010601020601060102060106010206010e010206010303050106010206010e01010501030407030801030505010e01010501030205020601030404060103030106010306010601030501060101050331746906060103070a060103052c06010305300601030702016f0406010404050c01030c0104040206010303060601030a0a060103030b060103081506010305040601030501060103030f0601030613060103030c060103030206010303150c01010701020d020c01010701020d040801030404020601030602017204080103020702060103030206010220010601022201060102220106010222010c010222010402010c01022201040201060102200306010302040601022001060102202a060103095d060101020201750d06010306010601030702060103040106010303020601030364060103020e0c01010a01020b021201010a01020b0103040a0601030202017708060103020506010302030601030206060101034b0c010104010217010c010104010217010c010104010216010c010104010216010c010104010216110601030227060101030102756e7f0601030906060103090201708116060101020906010308020173630601030901027661811106010102020165360601010401060101040106010104010601010401060101040106010104010601010437060101040201694f0601030347060103060102776101060104030a060103070306010303010601040306060103051106010306040601030607060103063f0601030b02016504060103030e060103095c060103050201680f0601030708060103064b060103053306010303040c010105010205010c010105010205010601020502060101040206010304020169010601021c010601030a0106010102010601021d0206010309010601021d010601021d030601021f010601021f010601021f010601021d010601021c010601021c010601021c0306010309010601021d010601021d020c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217011001010406010215040110010104060102150401100101040601021504011001010406010215040110010104060102150401100101040601021504010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c01010501021701100101050401021504011001010404010215040110010104040102150401100101040401021504010c0101040102170c060103050206010303020c010106010215010c0101060102150b06010303040c01010601021505060103060606010308020c010104010213010c010104010217010c01010601020f0112010104010217010309010c010104010217010c010104010217010c010105010216071201010401020f010303030c01010401020f010c01010401020f030601040204060102100206010210030c01010701020e020c01010601020e010c01010601020e050c01010401020e01060102110406010211010601021102016f0b060103053a060103030102796521060103056d06010103010601030402016f0c0601030b4c060103052f060103090004323030310102031702036b0601020d0301320202031702030301330302031702030106010306030134040203170203660601020d0301350502031702034906010308030136060203170203030137070203170203680601020d030138080203170203030139090203170203620601020d020231300a02031702030301310b02031702030301320c02031702030301330d02031702030301340e02031702030301350f020317020303013610020317020303013711080301030817020303013812020317020333060103050301391302031702035a0601020d020232301402031702030301311502031702030301321602031702030301331702031702030301342f0203030135300203030136310203030137320203030138330203030139340203020233303502030301313602030301323702030301333802030301343902030301353a02030301363b02030301373c02030301383d02030301393e0203020234303f0203030131400203030132410203030133420203030134430203030135440203030136450203030137460203030138470203030139480203020235304902030301314a02030301324b02030301334c02030301344d02030301354e02030301364f0203030137500203030138510203030139520203020236305302030301315402030301325502030301335602030301345702030301355802030301365902030301375a02030301385b02030301395c0203020237305d02030301315e02030301325f0203030133600203030134610203030135620203030136630203030137640203030138650203030139660203020238306702030301316802030301326902030301336a02030301346b02030301356c02030301366d02030301376e02030301386f02030301397002030202393071020303013172020303013273020303013374020302027039050601021a120601021a4c0601021201060102120106010212010601021201060102120106010212010601021201060102120106010212110601020c0103313030150a0102150303030132070c0102020f0303020c01020211030303016d1d0601020e010601020e260801020d03010801020d032f0801020c0303017030100101020102020d0409100101020102020d0402023134020c0102020e0303100c0102020f030303016d300601020e090601020e3306010208030170050601020a42060102062510010102010202070402023230010a0102140303070c0102020f03030c0a01021403030301370a0c010202110303050a010214030303016d1f0601020e010601020e010601020e250601020e0f0801020d03050801020d03080601020e020601020e040601020e030170090601020b010601020b15100101020102020d0401100101020102020d0401100101020102020d0417060102060e100101020102020d04170601020605100101020102020d0402100101020102020d0404100101020102020d0402023330030c0102020e0303060a01021703037c0c01010601020c03016d730801020c0303017031100101020102020d0404060102060202343681050c01010801020e03016d260601020e0b0601020e0d0601020e03017026100101020102020d04080601020610100101020102020d040a060102060e060102061306010206020235300b0c010202110303030c0102020f0303790c01010601020c030132100a0102140303040c0102020e03030301340a0a010217030303016d340601020e060601020e030170341801010201020206090401030b06100101020102020d04050601020608100101020102020d0402023630160c0102020f030303013881070c01010801020e03016d470601020e26080102090303017022100101020102020d040d0601020601060102062e060102060202376d220601020e100601020e290801020d030301703212010102010202060904020238300b0a0102170303030132110a010214030303016d250601020e310801020d03130801020d0303017025100101020102020d0417060102060d060102060106010206010601020601060102060202396d3b0601020e0301703b100101020102020d0402027031811706010204030132020801021904010801021904030801021a04030801021c04010801021c04080801021a040108010219040108010219040408010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040708010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040508010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040308010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040108010212040208010212040108010212040a0801020c04010801020e04010801021204020801021204010801021204010801021204010801021104010801021104010801020c04010801020c04010801020c04010801020c04010801020c04020801020c04040801020c04010801020c04080801020b04010801020b04020801020b04030801020b04010801020b04010801020b04010801020b04030801020e04010801020e04010801020e040301356306010206141001010201020209030301367e1001010201020209030301387f1001010201020209030103323030150c0102020f0303030133010c0102020e03030b12010202110303060303030138160a010215030303016d3f0601020e090801020d03140801020d03050801020d03040801020d030301701a060102060106010206010601020623100101020102020d040202316d710801020d03030170230601020601060102060202326d230601020e010601020e03017023100101020102020d0401100101020102020d042906010206010601020602023430811b0601020403016d6e0801020d03030170050601021912060102194c060102110106010211010601021101060102110106010211010601021101060102110106010211010601021111080102030a020235340d12010202110303060303020c0102020e0303814f18625039490e0e080a2b0d31123684790d131211090e0e0e090e090e0a0909090909090c0e0e0a09090906060606060607060606060606060606070606060606060606060706060606060606060607060606060606060606070606060606060606060706060606060606060607060606400c131f171412171a12325d1b09120d122b1c120a0d2a0c0c0e1c140e0b0a1426090d0a8443120d0d0d160a201c0a0d0e210a0940');
INSERT INTO item_text_data VALUES(549755813901,X'00000f46043232356d490801020d03010801020d03010801020d03010801020d03110801020d030d0801020d030202366d270801020d03010601020e03017028100101020102020d040202386d3c0601020e220801020d030301703c100101020102020d0413060102060202696e010601021b030601021c030601021c010601021c030601021e010601021e010601021e010601021c010601021b010601021b010601021b040601021c010601021c1106010214010601021401060102140106010214010601021401060102141006010214010601021401060102140106010214110601021401060102140f060102140f0601020e0b0601020e030601020e010601020e0c0601020d020601020d010601020d050601020d01060102100406010210010601021002026d6d700601020e020270328100100101020102020903030134580601020603013570100101020102020d040810010102010202090303013841060102060103333035100c0102020e030303016d570801020d03140801020d0302023170020601021801060102180306010219030601021b010601021b08060102190106010218010601021804060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021103100101020102020d0401100101020102020d04030601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211050601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021103060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211010601021101060102110106010211020601021101060102110a0601020b010601020d01060102110206010211010601021101060102110106010210010601021001080102030a01080102030a01080102030a01080102030a01080102030a02080102030a030601030601080102030a01080102030a08080102040801080102040802080102040803080102040801080102040801080102040801080102040803080102030c01080102030c01080102030c0202326d290601020e010601020e230801020d03010801020d030202356d6f08010207030202366d2b0801020d03340801020d0302026d6d180601020e0202703318100101020102020d04030138590601020603013935100101020102020d041d060102060103343030130a0102140303030136110c0102020e030303016d4f0801020d030202316d2c0801020d030202326d500801020d0302023830040a010215030302026d6d350601020e010601020e0b0801020d03220801020d030202703236100101020102020d042c06010206120601020603013402060102096206010206030135110601020903013619100101020102020d0429060102060103353030020a010214030303016d600801020d030301700106010218030601021903060102190106010219030601021b010601021b010601021b0106010219010601021801060102180106010218040601021901060102191106010211010601021101060102110106010211010601021101060102111006010211010601021101060102110106010211110601021101060102110f060102110f0601020b0b080102030a03080102030a01080102030a0c080102040802080102040801080102040805080102040801080102030c04080102050a01080102050a0202366d510801020d0302026d6d190601020e140601020e130601020e120801020d03020270322d100101020102020d04030133430601020603013440100101020102020d041a060102060c0601020603013653060102060301371306010209030139010601020919100101020102020d0401100101020102020d04010336306d050801020f0302023530030a010214030302023630070a010215030302026d6d1a0601020e010601020e180601020e0f0601020e160801020d030202703342100101020102020d0403013433100101020102020d04030135070601020a03013637100101020102020d040301382e100101020102020d040103373030050a0102150303120a010215030303016d130801020e03020235300e0a01021503030202366d170801020f0302026d6d2e0601020e090601020e1c0801020d03130801020d0302027031440601020601060102060301325406010206030135080601020a3b100101020102020d040301381c100101020102020d04030139120601020a0206010209010338306d040801020f0302026d6d1c0601020e130601020e140601020e020270332f100101020102020d04030135650601020603013672100101020102020d0403013838100101020102020d040103393030060a0102150303020a01021503030a0a010215030303016d060801020f0302026d6d380601020e050601020e170801020d03050801020d030e0801020d030b0601020e02027032170601020a26100101020102020d0403013561060102060301361d100101020102020d0401100101020102020d0437060102060301385c060102060c060102060103616363811306010208010601020801060102080106010208010601020a010601020a01080102080601080102080601080102080601060102050108010202050106010205010601020501080102020501080102020503017281100601030302026674120601030602026c6405060103091f0601030503016c1006010306710601030503016d7006010302030174040601021f020601021f010601021f0206010221010601022102026e640306010305020601030b11060103066d060103030202706581010c010103010214010c010103010214010c010103010214010c010103010214010c010103010217010c010103010214010c010103010217060601030503017014060101033a060103050202726581030601030602027474050c01010301030a5e0601030619060103030202786915060103030103626163010601040207060103060706010402020601030d030167811c0601020703016c2b060103054f0601030b03016e810b060101050106010105030172010601021d010601021d010601021d010601021e010c01021d010304010601021e010601021e010601021e01060102200106010220010601022001060102200106010220010601021e010601021d010601021d010601021d010601021e010601021d010601021d010601021e010601021e010601021d010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01021601030901060102160106010216010601021601060102160106010216010c010109010216010c010109010216010c010109010216010c010109010216010c010109010216010c01010901021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010216010304010c010108010216010c010107010216010c010107010216010c0101070102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c010107010216010c01010701021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010601021601060102160106010216010c01010701021601060102160106010216010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010c010107010215010601021001060102120106010216010c010107010210010601021601060102160106010216010601021501060102150110010103010205050a0110010103010205050a0110010103010205050a010a010205050a0110010103010205050a0110010105010205050a010a010205050a01120101030401020505090110010105010205050a011201010304010205050a0110010103010205050a0110010103010205050a080601020f010601020f010c01010801020f010601020f010c01010701020f010c01010701020f010601020f010601020f010601020f010601020f010c01010501020f01080102050f01080102050f01080102050f01080102050f01080102070d01080102070d0301730f0601030203017481190601020b010601020b010601020b02026561010601030814060103080301632a060103040301660c0601030a0b0601030770060103081206010306030167490601030201060103020106010302010601030203016937060103040301720b060101030301736906010303020269670f0601010281080601010602026c7576060103061a0601010302026f6f7106010304160601030a030174110601030c2b060103060301751b060103023106010304030178010601030c3206010307010601030715060103030106010303010601030301060103032306010305070601030a260601020802027269110601030b41060103060202756916060103030301744f06010304010363616b4c0601030603016d5c060103020f0601030704060103020306010306090601030403016e630601030803017003060103038100060103021c06010302030172811d0601030203017309080102050d01080102050d01080102050d01080102050d01080102050d090601030402060104020b0601040213060104020a0601040235060104021e060103070406010402050e010103010202060202656c811b06010303030601030503016d740601030203016e810806010106010601010601060101060202686181190c010302010402020601030606060101030301650c060103081f0601030303016913060103053806010305390601030302026c65710601030603016f74060103040301750706010306390601030502026f611006010103160601030303016c810e080102021001080102021001080102021003016d7e06010303190e0101020102020b010e0101020102020b03016f090601030d020601030403017281170e0101030102030b010e0101030102030b030175080801030303560601030704290f0d0f12813d090f0817080d0f840f1a0a10090e08120c0b090a0a0b1a180d08120c0981460a190e081708081c0b0b0b1e0e0d080d0d13090b0a1a0e08120d0d0b130e080d0d1a092513081c0d5709090e0d081c18420d0a160919090d0e867008130e0817170808080f0e0e0d0d350e09080a1c081309520f0813170d1209080d0e161a0d16');
INSERT INTO item_text_data VALUES(549755813902,X'00000f880432636f768103060103050202726181100601030202027570040601040203060104020206010402010364616d8106060102150a0601021103017216060103070301798104060103050202656315060103020301653306010106010601010601060101060301770a060103020202696181130e0101030102020a010e0101030102020a010e0101030102020a010e0101040102020a02026f62010601021e0e0601021e010601021e010601021e030601021e030165620601030903016e81050601030c0301747606010307280c010103010208010601020803017a811c06010106020272618117060103060301696c06010306130601030703016f720601030202027573030601030281100601030a01036564673b06010307230601030302026967100601030702026c65410c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218010c010105010218060c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010212030c010105010212050c01010501021702026e6745060103020202717505080102071903080102071a03080102081b01080102081b01080102081b01080102071a04080102071a03080102071a01080102071a010801020719020276650106010304060601030223060103055106010307020278630d0601030802027965180e01020806010307010801020806010801020806010801020806010801020806010801020806010e01020806010302010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010e01020806010303010801020806010801020806010801020806010801020806011401010701020806010309011401010701020806010309010e01010701020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010801020806010e010208060103060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060108010208060106010206010c010208010302010801020806010601020601080102080601080102080601080102080601080102080501080102080504060103040206010306010601030a1606010307060601030b050601010701036661637f06010302030169730601030703016d2406010306030173600601030903017607060103041e0601030302026669310601030402026965180e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515011401010501020515010302010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010501020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010601020515010e01010501020515010e01010501020515010e01010501020515010e0101050102051501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010c010107010205010c010107010205010c010107010205010c010107010205010c0101070102050106010205010601020501060102050106010205010601020501060102050106010205010c0102050103020106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205010601020501060102050106010205020e01010501020511010e01010501020515020e01010501020515010e01010501020515010e01010501020515010e01010601020514010601020503016c3b06010302460e0101050102030f010e0101050102030f010e0101050102030f010e0101050102030f010e01010501020312010e0101050102030f010e01010501020312010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010301020308010e01010401020308010e01010301020308010e01010401020308010e01010401020308010e0101030102030803016e17060103040706010305420601030223060103041b1001010401020206050110010103010202060503017202060103042806010308030174040601030402026c6152060101060106010106010601010601060101060106010106480601030403016f01060104040e06010404020601040402026f6309060103020e060103023a060103051b0601030203016c0206010307060601022101060102230106010223010601022301060102230106010223010601022107060102210106010221810a060101020301720206010205010601020504060103050c06010205020601030606060103072406010307120601030207060103041806010305010601030508060103020208010302080306010304030e01010601020409010e01010601020409010e01010601020409010e01010601020409010e01020408010306010e01010601020409010801020408080601030204060101040306010302010c0101040103080506010104040601010403017505060103060f060103052c06010308010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c0101040102170f0c010104010216010c010104010216010c010104010216010c0101040102160306010304030c01010401021110060103030202726f18060103045306010303160601020601060102060106010206010601020601060102060106010206010c0102060103070202756c81010c010102010213010c010102010213010c010102010213010c010102010213010c010102010216010c010102010213010c01010201021603016e7106010302010367656e7706010104030174330601030a010601030a0202696624060103020d06010302030176090601030702026c614f06010307410601030402026f65020601030903016c110601010203016e740601030303016f7e0601030202027261811d06010306030165050601030d03016f0e060103080306010403030601030313060103080a06010307020275656c0601030c010368616c090601030903016e6d060101070301724b06010309280601030608060103060301730c06010304020265612b060103024f080103020503017204060101037d0c010108010404120c01010601030502026f75090601030b0103696d6181160601010302026e63010e01010501021309010801021309010801021309010801021409010801021409010801021409010801021409010801021409010801021609010801021609010801021609010801021609010801021609010801021409010801021309010801021309010801021309010801021409010801021309010801021309010801021409010801021409010801021409010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601021301060102130106010213010601020d010601020f0106010213010601020d01060102130106010213010601021301060102120106010212010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d010601020d080601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020c010601020f010601020f0106040b0a13100809091208291d080915090a0d080f0f09824c09401809846b0a0808080d09851c812a2b0d082212183b8127817c343d080a0d0e080e090808080a081c090a0812080f18090b');
INSERT INTO item_text_data VALUES(549755813903,X'00070f4501020f81160601020f010601020f010601020f0432696e64811906010307030173170601020c10060103054a0601020b0f06010207060601020f0f06010207090601030a03017437060103064006010305020274730f060103052c06010303050601030701036a61630a0601010301036b656506060103045f0601030413060103021b06010308030170620601030203017941060103060202696c3c06010304030601030403016e4f06010305300601030802026e6f100601030801036c6172810d060103040e060101040202656101060103050b06010303030166400601030203016706060103060c0601030803016e170601030810060103072a06010306100c0101050102180112010105010218010308010c010105010217010c010105010217010c01010501021707060103030406010308100601030206060103080202696475060104040301660d06010304030167810506010302090601010203016b410601030203016e810d060101050301740206010102240601030508060103065b060103040301764e06010302450601030202026f6e0606010102100601030502060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010601060101060106010106010601010625060103040e0601010611060101060106010106010601010603016f37060103050a0601030355060103030301730306010304030176160601030801036d61646c0601030e150601020a010601020a010601020a010601020a020601020a03016b09080102040d01080102040d01080102040d030172070601010265060101071a0601010709060103030301741b0601030402026561120601030406060103030f0601030a37060103080f0601030512060103050806010302030167060601010303016d1406010306020601030203016e0c0601030602026964070601040403016c0806010103090601040203016e7a0601030903017209060103060b0601030202060101047d0c01010201020b010601020b010601020b010601020b030173730601020a0301786f0601030702026f6e1506010103370601030803016f81080e01010201020210010e01010201020210010e01010201020210010601030803017263060103020301750406010208010601020801060102080106010208010601020801060102090106010209010601020901060102090106010209010c01020801030204060102080306010208010601020801060102080301760906010304020275633f0601030603017381010601030601036e6172050c01021c010303120601021c3806010302140c010106010214010c010106010214010c010106010214010c010106010214010c010106010214010c0101060102140112010106010214010306010c010106010214010c010106010214110c01010401020e0f060101040106010104020265613c060103024a06010303030162810b0e01010201020210010e01010201020210010e010102010202100301650206010302150601020b5706010302030601020a0f06010206060601020e0706010302080601020603016c120601010303017612060103035b06010304030177010601020d010601020d010601020d0b0601020e010601020d010601020d010601020d010601020e020601020d010601020e020601020e020269671b06010309040601030301060103030106010303780601030502026f625e060103060e0601030d03017427060103094c06010302120601030501060103070b06010305050601030705060103050202796c81010601030301036f627381210601010202026c640b060101021b06010302720601010402026e650106010303010601030812060103081606010303150601030a210601030a0906010307220601030303016c05060103054c06010307070601030702027261810f060101020301630106010103810206010108030164811006010306030169650601030302027468160601020e020275727006010306270601030903017417060103050202766514060103072b06010302460601030418060103050202776e0f060103066d060103061b0601030a010370616381190e01010301020309010e01010301020309010e010103010203090301640106010309811b0601010203016c8110060101020301706b06010305140601010503017210060103035f06010308140601030703017452060103070202656e170601010203016f0d060103036e06010305030172810806010105010601010501060101050202696e81060601030202026c610306010309130601030a5f06010211010601021101060102110206010211030601021002060102110206010211160601030903016f0e06010103810f0601030403017502060101030a0601030781070601030b02026f630a0601030803016c81110e01010301020210010e0101020102021003016f6006010306030173130601010371060101080301770c060103025706010303360e01010201020209010e01010201020209010e010102010202090202726981130601020c010c01010201020c010c01010201020c010601020c03016f16060101050f06010306020275621b0601030804060103020106010302010601030201037175691506010102010372616918060103060301748100060103031506010302020265620e060103040301641306010302810b0c010102010207010601020703016601060102040106010204010601020401080102040c01080102040c01080102040c01080102040c01080102040c0606010204010601020401060102040106010204010601020401080102040b01060102040106010204020601020462060103051e0601010703016c1812010107010209010302010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c010107010209010c0101070102090106010209010c0102090103090106010209010601020901060102090106010209010601020901060102090106010209010c010108010209010c010108010209010c010108010209010c010108010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c010209010303010601020901060102090106010209010601020901060102090106010209010c01010701020901060102090106010209010601020901060102090106010209010601020901060102090106010209010601020901060102090106010209010c01020901030202060103030106010209020c010107010209010c010107010209010c0101070102090106010209010601020904060103050301700306010306120601020c5d0601020b1e060102080b060102070301736c0601030903017425060103044f0601020a020269672e0601030203016d4b060103083b0601030503016e81110601030402026f6301060102070e0601020701060102070106010207030601020703016c0f06010303030175210601030703017718060104040b0601040413060104040a060104040202756237060103030301730f06010103010373616c4c06010307030175030601030a03017933060103020106010302020263618117060103030301680c0e0101030102040d01080102040d0301723c06010307450601030403017510060101040202656104060103080301631206010302180601030243060101060301657306010303030172010601020b010601020b010601020b010601020c010601020c010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020c010601020b010601020b010601020b010601020c010601020b010601020b020601020c020601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b010601020b01060102050106010207010601020b0106010205010601020b05060102070106010207010601020701060102070106010207010601020701060102070106010207010601020701060102070106010207020601020f010601020f010601020f010601020f01060102120206010212010601020801060102080106010208010601020801060102080106010208010601020801060102080206010208010601020801060102070106010207020601020701060102090106010209010601020701060102070206010204010601020401060102040106010204010601020401060102040301741f0601030401060103040106010304620601030a010601030602026861520601030243060103040301658119060104030301690a0601030381030601030703016f120601030a24060101070106010107010601010701060101071f060103020a060103041706010304020269640a0601030703016d04060102070206010207010601020702060102080106010208580601030703016e73060103041a060101040301730b060101050301742706010304170b260d130a1908080e0d09100e080d5109080e0809170d81101208082315170827080d08090d082908080e240851080909740e1f2b080d3a1d0e260a0b132c120a0e0908090e081813210e090d1208090d130a360e130916080d281f0d180a0a0e09166884321c080d090d091d08081709080a080d0a120d0809120885711c0e090e2b09210d08');
INSERT INTO item_text_data VALUES(549755813904,X'00000bdd043273697805060101045e06010307190601030402026b790806010223010601022501060102250106010225010601022501060102250106010223070601022301060102235a0601030702026c69170601030303016f0b0601030202026d613f060103090c06010304550601010602026f665e0601030503016c81010e01010401020211010e01010401020211010e01010401020211010e01010401020211010e01010401020214010e01010401020211010e01010401020214020270610106010307811d0601030703016c1e0601030303016f7106010303030172720601030502027461020601021c010601021c030601021d030601021f010601021f080601021d010601021c010601021c040601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215070601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215050601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021503060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215010601021501060102150106010215020601021501060102150a0601020f0106010211010601021502060102150106010215010601021501060102140106010214010601020f010601020f010601020f010601020f010601020f020601020f040601020f010601020f080601020e010601020e020601020e030601020e010601020e010601020e010601020e0206010209010e0101040102090a010e0101040102090a01080102090a03016511060103040106010305030169150601030409060103046b0601030503016f11060103051606010303370601030a03017270060103042f060101020202756e810106010212010601021201060102120106010212010c0102150103080106010212010601021518060103060202776f811b060103020103746162020e01020719010305010801020719100801020719810d0601010303016337060103021b0601030503016b050601030229060103045d06010305130601030203016c06060103020c0601010203017021060103067d0601030902026561110601010403016c010601020c010601020c010601020c010601020d010601020d010601020d010601020d010601020d010601020e010601020e010601020e010601020e010601020e010601020d010601020c010601020c010601020c010601020d010c01020c010307010601020c010601020d01080102040b010601020d610c010103010211020c010103010211010c010103010211020c0101030102110406010209010601020901060102090106010209010601020901060102090106010209190601010703016e45060103070301738105060103030202686163060103040806010306030165010e0101020103020b01060103060206010102010c01010201030801060103050212010102010222010305010c0102240103050112010102010224010306010c010224010306010c010102010224010c010224010305011201010201022201030602060101020206010307010c01010201030401060101020106010222010c0101020102220206010305090601030803060103040306010306030601030701060103040306010308050601030601060103060706010306040601030801060103040b06010307030601030403060103030d060103090206010308030601030502060103020408010302050206010304010601030806060103040106010305030601030902060103030106010303010601030a010801030308010601030202060103050312010107010205010403010c01010701020501120101070102050103090112010107010205010302010c010205010307010c010205010304010e01020501030305040801030207060801030305020e01010501030407030801030505010e0101050103020502060103040406010303010601030601060103050106010105030169090601010279060101080301720d060101023406010304170c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c0101040102170a0c010104010216010c010104010216010c010104010211080c0101040102160d060103020706010206010c01020601030201060102060106010206010601020601060102060106010206010601020601060102060106010206010601020602026965060601030703016710060103052c0601030503016d6c0601030702026f6e260601030803016f110601030a2e06010305310601030303017004060104040506010404020272610408010302070406010220010601022201060102220106010222010601022201060102220106010220070601022001060102200301654006010309030169060601030303016f0c0601040201060104028110060101020301751106010302020275620d06010306030601030401060103030206010303720c01010a01020b021201010a01020b0103040301650e0601030703017277060103021a0601030202027769760601030203016f08060103020506010302030601030206060101034b0c010104010217010c010104010217010c010104010216010c010104010216010c01010401021638060101030103756e6b7f060103090301748105060103090202707281160601010202027365630601030901037661728111060101020202657236060101040106010104010601010401060101040106010104010601010401060101043706010104020269654f0601030303016c81160601030601037761690b060103070a0601030503016c01060104030e06010403220601030603016e2a0601030603017226060103064a0601030b0301730e06010303020265696e0601030503016c040601030303017212060103090202686162060103050301650f0601030781060601030308060101040206010304030179170601030602026964010601021c030601021d030601021d010601021d030601021f010601021f010601021f010601021d010601021c010601021c010601021c040601021d010601021d020c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217011001010406010215040110010104060102150401100101040601021504011001010406010215040110010104060102150401100101040601021504010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010104010217010c010105010217010c010105010217010c010105010217010c010105010217010c010105010217010c01010501021701100101050401021504011001010404010215040110010104040102150401100101040401021504010c010104010217100c010106010215010c0101060102150f0c0101060102150d0c010104010213010c010104010217010c01010601020f010c010104010217010c010104010217010c010104010217010c010105010216070c01010401020f030c01010401020f010c01010401020f07060102100206010210030c01010701020e020c01010601020e010c01010601020e050c01010401020e01060102110406010211010601021103016e030601010203060103090e06010309030174020601030a4a0601030502060103030e060103030906010306060601030805060103090a06010303070601040202026f720b060103053a060103030103796561810f0601030403016c21060103056d0601010302026f750c0601030b4c060103052f0601030904143609081309430f08080883720d12120d300a200d170d0d09814208090e83240d8134090d0809120d37080813082b080d09440a090a090b2c09090f12080d08090808091808844212300e0b0d');
CREATE TABLE IF NOT EXISTS 'item_text_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID;
INSERT INTO item_text_idx VALUES(4,X'',2);
INSERT INTO item_text_idx VALUES(4,X'30323070356d',4);
INSERT INTO item_text_idx VALUES(4,X'30397038',6);
INSERT INTO item_text_idx VALUES(4,X'3065796563',8);
INSERT INTO item_text_idx VALUES(4,X'30696e64',10);
INSERT INTO item_text_idx VALUES(4,X'306f6e65',12);
INSERT INTO item_text_idx VALUES(4,X'30746163',14);
INSERT INTO item_text_idx VALUES(4,X'313170',16);
INSERT INTO item_text_idx VALUES(4,X'316265',18);
INSERT INTO item_text_idx VALUES(4,X'316672',20);
INSERT INTO item_text_idx VALUES(4,X'316e79',22);
INSERT INTO item_text_idx VALUES(4,X'317469',24);
INSERT INTO item_text_idx VALUES(4,X'3232356d',26);
INSERT INTO item_text_idx VALUES(4,X'32636f76',28);
INSERT INTO item_text_idx VALUES(4,X'32696e64',30);
INSERT INTO item_text_idx VALUES(4,X'32736978',32);
CREATE TABLE IF NOT EXISTS 'item_text_content'(id INTEGER PRIMARY KEY, c0, c1, c2, c3, c4);
INSERT INTO item_text_content VALUES(1,'T-001','The Orchard 8-inch','203 mm reflector on a rocker, f/5p9 in service telescope newtonian 203mm 203mm 203 mm 8 inch 1200mm 1200mm 1200 mm 50p8mm 2 inch 2inch wide barrel dobsonian','the one everybody learns on; spare bearing pads in the box','Back wall, floor');
INSERT INTO item_text_content VALUES(2,'T-002','Little Plum','114 mm reflector for a table, f/4p4 in service telescope newtonian 114mm 114mm 114 mm 4 inch 500mm 500mm 500 mm 31p75mm 1p25 inch 1p25inch standard barrel tabletop','needs a firm table; the folding one goes with it','');
INSERT INTO item_text_content VALUES(3,'T-003','Windowsill','130 mm reflector for a table, f/5 in service telescope newtonian 130mm 130mm 130 mm 5 inch 650mm 650mm 650 mm 31p75mm 1p25 inch 1p25inch standard barrel tabletop','dust cap lost and replaced by a plant saucer','');
INSERT INTO item_text_content VALUES(4,'T-004','The Heron','80 mm refractor on a simple mount, f/6 in service telescope refractor 80mm 80mm 80 mm 3 inch 480mm 480mm 480 mm 50p8mm 2 inch 2inch wide barrel altazimuth','travels well, fits on a train seat','Cupboard 1, top');
INSERT INTO item_text_content VALUES(5,'T-005','The Attic Sixty','60 mm refractor on an equatorial mount, f/11p7 in service telescope refractor 60mm 60mm 60 mm 2 inch 700mm 700mm 700 mm 24p5mm 0p965 inch narrow barrel equatorial','takes narrow barrels only; found in the Aldous attic and re-greased','');
INSERT INTO item_text_content VALUES(6,'T-006','Long Meg','90 mm refractor on a simple mount, f/10 in service telescope refractor 90mm 90mm 90 mm 4 inch 900mm 900mm 900 mm 31p75mm 1p25 inch 1p25inch standard barrel altazimuth','tall tripod, keep the legs tied in wind','');
INSERT INTO item_text_content VALUES(7,'T-007','Marigold','102 mm refractor on a simple mount, f/6p5 in service telescope refractor 102mm 102mm 102 mm 4 inch 660mm 660mm 660 mm 50p8mm 2 inch 2inch wide barrel altazimuth','everybody''s favourite for clusters','Cupboard 1, middle');
INSERT INTO item_text_content VALUES(8,'T-008','The Miller','120 mm refractor on an equatorial mount, f/7p5 in service telescope refractor 120mm 120mm 120 mm 5 inch 900mm 900mm 900 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','two counterweights, count them back in','');
INSERT INTO item_text_content VALUES(9,'T-009','Thimble','102 mm Maksutov-Cassegrain on a simple mount, f/12p7 in service telescope maksutov cassegrain 102mm 102mm 102 mm 4 inch 1300mm 1300mm 1300 mm 31p75mm 1p25 inch 1p25inch standard barrel altazimuth tracking follows the sky','focuses by moving the mirror; give it half an hour to cool','Cupboard 2, top');
INSERT INTO item_text_content VALUES(10,'T-010','The Jackdaw','127 mm Maksutov-Cassegrain on a simple mount, f/12p1 in service telescope maksutov cassegrain 127mm 127mm 127 mm 5 inch 1540mm 1540mm 1540 mm 31p75mm 1p25 inch 1p25inch standard barrel altazimuth tracking follows the sky','dew shield is in the side pocket','');
INSERT INTO item_text_content VALUES(11,'T-011','Old Bertha''s Sister','150 mm Maksutov-Cassegrain on an equatorial mount, f/12 in service telescope maksutov cassegrain 150mm 150mm 150 mm 6 inch 1800mm 1800mm 1800 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','slow to cool, worth the wait','');
INSERT INTO item_text_content VALUES(12,'T-012','The Schoolmaster','203 mm Schmidt-Cassegrain on an equatorial mount, f/10 in service telescope schmidt cassegrain 203mm 203mm 203 mm 8 inch 2030mm 2030mm 2030 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','power lead has a mended plug, check it before you go','Trolley');
INSERT INTO item_text_content VALUES(13,'T-013','Threshold','254 mm Schmidt-Cassegrain on an equatorial mount, f/10 in service telescope schmidt cassegrain 254mm 254mm 254 mm 10 inch 2540mm 2540mm 2540 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','two people lift the tube, no exceptions','Trolley');
INSERT INTO item_text_content VALUES(14,'T-014','The Ploughman','150 mm reflector on an equatorial mount, f/5 in service telescope newtonian 150mm 150mm 150 mm 6 inch 750mm 750mm 750 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','mount was rebuilt by the Tuesday group','');
INSERT INTO item_text_content VALUES(15,'T-015','Big Russet','254 mm reflector on a rocker, f/5 in service telescope newtonian 254mm 254mm 254 mm 10 inch 1270mm 1270mm 1270 mm 50p8mm 2 inch 2inch wide barrel dobsonian','base rolls on its own wheels','Back wall, floor');
INSERT INTO item_text_content VALUES(16,'T-016','The Coal Scuttle','305 mm reflector on a rocker, f/5 in service telescope newtonian 305mm 305mm 305 mm 12 inch 1525mm 1525mm 1525 mm 50p8mm 2 inch 2inch wide barrel dobsonian','two-part tube, tighten all eight knobs','');
INSERT INTO item_text_content VALUES(17,'T-017','Goliath''s Teacup','406 mm reflector on a rocker, f/4p5 in service telescope newtonian 406mm 406mm 406 mm 16 inch 1829mm 1829mm 1829 mm 50p8mm 2 inch 2inch wide barrel dobsonian','truss tube; step stool is T-017''s too, bring both back','Mill, ground floor');
INSERT INTO item_text_content VALUES(18,'T-018','Tall Nellie','114 mm reflector on an equatorial mount, f/7p9 in service telescope newtonian 114mm 114mm 114 mm 4 inch 900mm 900mm 900 mm 31p75mm 1p25 inch 1p25inch standard barrel equatorial','secondary never measured; steady after the legs were shortened','');
INSERT INTO item_text_content VALUES(19,'T-019','The Postbox','70 mm refractor for a table, f/5p7 in service telescope refractor 70mm 70mm 70 mm 3 inch 400mm 400mm 400 mm 31p75mm 1p25 inch 1p25inch standard barrel tabletop','red tube, the children''s telescope','');
INSERT INTO item_text_content VALUES(20,'T-020','The Apprentice','152 mm reflector on a rocker, f/7p9 in service telescope newtonian 152mm 152mm 152 mm 6 inch 1200mm 1200mm 1200 mm 31p75mm 1p25 inch 1p25inch standard barrel dobsonian','mirror ground by four members over one winter','');
INSERT INTO item_text_content VALUES(21,'T-021','Quiet Monday','200 mm reflector on an equatorial mount, f/5 in repair telescope newtonian 200mm 200mm 200 mm 8 inch 1000mm 1000mm 1000 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','declination axis sticks, waiting for a bearing','');
INSERT INTO item_text_content VALUES(22,'T-022','The Two-Mirror Project','160 mm telescope on an equatorial mount, f/13 in service telescope other 160mm 160mm 160 mm 6 inch 2080mm 2080mm 2080 mm 50p8mm 2 inch 2inch wide barrel equatorial tracking follows the sky','member-built Cassegrain, long and dark, lovely on planets','');
INSERT INTO item_text_content VALUES(23,'T-023','Penny','76 mm reflector on an equatorial mount, f/9p2 needs inspection telescope newtonian 76mm 76mm 76 mm 3 inch 700mm 700mm 700 mm 24p5mm 0p965 inch narrow barrel equatorial','focuser slips, find out why before lending','');
INSERT INTO item_text_content VALUES(24,'E-001','3p3 mm wide-field, long relief','3p3 mm, 62° field, 18 mm eye relief in service eyepiece 3p3mm 3mm 3p3 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','relief measured from the raised eyecup','Case A, row 1');
INSERT INTO item_text_content VALUES(25,'E-002','4p6 mm wide-field, long relief','4p6 mm, 62° field, 20 mm eye relief in service eyepiece 4p6mm 5mm 4p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(26,'E-003','5p9 mm wide-field, long relief','5p9 mm, 62° field, 20p5 mm eye relief in service eyepiece 5p9mm 6mm 5p9 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(27,'E-004','5p9 mm wide-field, long relief','5p9 mm, 62° field, 20p5 mm eye relief in service eyepiece 5p9mm 6mm 5p9 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','bought to match E-003 for public nights','');
INSERT INTO item_text_content VALUES(28,'E-005','7p8 mm wide-field, long relief','7p8 mm, 62° field, 20p5 mm eye relief in service eyepiece 7p8mm 8mm 7p8 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(29,'E-006','9p6 mm wide-field, long relief','9p6 mm, 62° field, 21 mm eye relief in service eyepiece 9p6mm 10mm 9p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(30,'E-007','9p6 mm wide-field, long relief','9p6 mm, 62° field, 21 mm eye relief in service eyepiece 9p6mm 10mm 9p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','eyecup split, still fine','');
INSERT INTO item_text_content VALUES(31,'E-008','12p4 mm wide-field, long relief','12p4 mm, 62° field, 21 mm eye relief in service eyepiece 12p4mm 12mm 12p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','public night set','');
INSERT INTO item_text_content VALUES(32,'E-009','12p4 mm wide-field, long relief','12p4 mm, 62° field, 21 mm eye relief in service eyepiece 12p4mm 12mm 12p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','public night set','');
INSERT INTO item_text_content VALUES(33,'E-010','12p4 mm wide-field, long relief','12p4 mm, 62° field, 21 mm eye relief in service eyepiece 12p4mm 12mm 12p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','public night set, yellow tape round the barrel','');
INSERT INTO item_text_content VALUES(34,'E-011','16p8 mm wide-field, long relief','16p8 mm, 62° field, 21 mm eye relief in service eyepiece 16p8mm 17mm 16p8 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(35,'E-012','22p5 mm wide-field, long relief','22p5 mm, 64° field, 21p5 mm eye relief in service eyepiece 22p5mm 22mm 22p5 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','Case A, row 2');
INSERT INTO item_text_content VALUES(36,'E-013','22p5 mm wide-field, long relief','22p5 mm, 64° field, 21p5 mm eye relief in service eyepiece 22p5mm 22mm 22p5 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','gift of the Aldous family','');
INSERT INTO item_text_content VALUES(37,'E-014','18p5 mm wide-field, long relief','18p5 mm, 64° field, 22 mm eye relief in service eyepiece 18p5mm 18mm 18p5 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','a favourite, return it promptly','');
INSERT INTO item_text_content VALUES(38,'E-015','14p2 mm wide-field, long relief','14p2 mm, 60° field, 20 mm eye relief in service eyepiece 14p2mm 14mm 14p2 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','older coating, a little warm in tone','');
INSERT INTO item_text_content VALUES(39,'E-016','26 mm wide-field, long relief, wide barrel','26 mm, 62° field, 22 mm eye relief in service eyepiece 26mm 26mm 26 mm 50p8mm 2 inch 2inch wide barrel wide field','field stop sits inside the lens group, not measured','');
INSERT INTO item_text_content VALUES(40,'E-017','26p5 mm wide-field, long relief, wide barrel','26p5 mm, 66° field, 22 mm eye relief in service eyepiece 26p5mm 26mm 26p5 mm 50p8mm 2 inch 2inch wide barrel wide field','','');
INSERT INTO item_text_content VALUES(41,'E-018','31p5 mm wide-field, long relief, wide barrel','31p5 mm, 66° field, 23 mm eye relief in service eyepiece 31p5mm 32mm 31p5 mm 50p8mm 2 inch 2inch wide barrel wide field','','');
INSERT INTO item_text_content VALUES(42,'E-019','31p5 mm wide-field, long relief, wide barrel','31p5 mm, 66° field, 23 mm eye relief in service eyepiece 31p5mm 32mm 31p5 mm 50p8mm 2 inch 2inch wide barrel wide field','second one, because everyone wants the first','');
INSERT INTO item_text_content VALUES(43,'E-020','36 mm wide-field, long relief, wide barrel','36 mm, 66° field, 25 mm eye relief in service eyepiece 36mm 36mm 36 mm 50p8mm 2 inch 2inch wide barrel wide field','heavy, check the balance','');
INSERT INTO item_text_content VALUES(44,'E-021','41 mm wide-field, long relief, wide barrel','41 mm, 60° field, 24 mm eye relief in service eyepiece 41mm 41mm 41 mm 50p8mm 2 inch 2inch wide barrel wide field','','');
INSERT INTO item_text_content VALUES(45,'E-022','5p2 mm wide-field','5p2 mm, 70° field, 16 mm eye relief in service eyepiece 5p2mm 5mm 5p2 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(46,'E-023','6p8 mm wide-field','6p8 mm, 70° field, 14p5 mm eye relief in service eyepiece 6p8mm 7mm 6p8 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','rigid eyecup takes a little of the relief','');
INSERT INTO item_text_content VALUES(47,'E-024','8p3 mm wide-field','8p3 mm, 70° field, 16p5 mm eye relief in service eyepiece 8p3mm 8mm 8p3 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(48,'E-025','10p6 mm wide-field','10p6 mm, 70° field, 16p5 mm eye relief in service eyepiece 10p6mm 11mm 10p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(49,'E-026','13p6 mm wide-field','13p6 mm, 70° field, 17 mm eye relief in service eyepiece 13p6mm 14mm 13p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','gift of Ffion''s walking group','');
INSERT INTO item_text_content VALUES(50,'E-027','17p4 mm wide-field','17p4 mm, 70° field, 17p5 mm eye relief in service eyepiece 17p4mm 17mm 17p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(51,'E-028','6p4 mm wide-field, deep eyecup','6p4 mm, 60° field, 15 mm eye relief in service eyepiece 6p4mm 6mm 6p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','says 20 mm on the box, an eye gets 15','');
INSERT INTO item_text_content VALUES(52,'E-029','15p4 mm wide-field, deep eyecup','15p4 mm, 65° field, 15p5 mm eye relief in service eyepiece 15p4mm 15mm 15p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','says 20 mm on the box, an eye gets 15p5','');
INSERT INTO item_text_content VALUES(53,'E-030','3p9 mm wide-field, deep eyecup','3p9 mm, 60° field, 13p5 mm eye relief in service eyepiece 3p9mm 4mm 3p9 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(54,'E-031','4p2 mm very wide field, short relief','4p2 mm, 80° field, 12 mm eye relief in service eyepiece 4p2mm 4mm 4p2 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','Case B, row 1');
INSERT INTO item_text_content VALUES(55,'E-032','6p6 mm very wide field, short relief','6p6 mm, 80° field, 12 mm eye relief in service eyepiece 6p6mm 7mm 6p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','tacky rubber, being looked into','');
INSERT INTO item_text_content VALUES(56,'E-033','8p8 mm very wide field, short relief','8p8 mm, 80° field, 12p5 mm eye relief in service eyepiece 8p8mm 9mm 8p8 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(57,'E-034','10p8 mm very wide field, short relief','10p8 mm, 80° field, 13 mm eye relief in service eyepiece 10p8mm 11mm 10p8 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(58,'E-035','15p2 mm very wide field','15p2 mm, 80° field, 15 mm eye relief in service eyepiece 15p2mm 15mm 15p2 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','','');
INSERT INTO item_text_content VALUES(59,'E-036','19p2 mm very wide field','19p2 mm, 80° field, 16 mm eye relief in service eyepiece 19p2mm 19mm 19p2 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','fills its barrel to the edge','');
INSERT INTO item_text_content VALUES(60,'E-037','28p5 mm very wide field, wide barrel','28p5 mm, 82° field, 18p5 mm eye relief in service eyepiece 28p5mm 28mm 28p5 mm 50p8mm 2 inch 2inch wide barrel wide field','nearly a kilogram, tighten both screws','');
INSERT INTO item_text_content VALUES(61,'E-038','9p2 mm widest field, wide barrel','9p2 mm, 98° field, 15 mm eye relief in service eyepiece 9p2mm 9mm 9p2 mm 50p8mm 2 inch 2inch wide barrel wide field','','');
INSERT INTO item_text_content VALUES(62,'E-039','14p3 mm widest field, wide barrel','14p3 mm, 98° field, 15 mm eye relief in service eyepiece 14p3mm 14mm 14p3 mm 50p8mm 2 inch 2inch wide barrel wide field','','');
INSERT INTO item_text_content VALUES(63,'E-040','20p5 mm widest field, wide barrel','20p5 mm, 98° field, 15p5 mm eye relief in service eyepiece 20p5mm 20mm 20p5 mm 50p8mm 2 inch 2inch wide barrel wide field','over a kilogram, too much for the small ones','');
INSERT INTO item_text_content VALUES(64,'E-041','5p4 mm widest field','5p4 mm, 98° field, 15 mm eye relief in service eyepiece 5p4mm 5mm 5p4 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','left to the club by its founder treasurer','Case B, row 3');
INSERT INTO item_text_content VALUES(65,'E-042','4 mm four-element','4 mm, 50° field, 2p8 mm eye relief in service eyepiece 4mm 4mm 4 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','like looking through a keyhole','');
INSERT INTO item_text_content VALUES(66,'E-043','6p3 mm four-element','6p3 mm, 52° field, 4p6 mm eye relief in service eyepiece 6p3mm 6mm 6p3 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(67,'E-044','7p5 mm four-element','7p5 mm, 52° field, 5p3 mm eye relief in service eyepiece 7p5mm 8mm 7p5 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(68,'E-045','10 mm four-element','10 mm, 52° field, 7p1 mm eye relief in service eyepiece 10mm 10mm 10 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(69,'E-046','10 mm four-element','10 mm, 52° field, 7p1 mm eye relief in service eyepiece 10mm 10mm 10 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','engraving worn, it is a ten','');
INSERT INTO item_text_content VALUES(70,'E-047','12p5 mm four-element','12p5 mm, 52° field, 9 mm eye relief in service eyepiece 12p5mm 12mm 12p5 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(71,'E-048','15p5 mm four-element','15p5 mm, 52° field, 11p2 mm eye relief in service eyepiece 15p5mm 16mm 15p5 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(72,'E-049','20 mm four-element','20 mm, 52° field, 14p6 mm eye relief in service eyepiece 20mm 20mm 20 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(73,'E-050','25 mm four-element','25 mm, 52° field, 18p2 mm eye relief in service eyepiece 25mm 25mm 25 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','beginners'' box','');
INSERT INTO item_text_content VALUES(74,'E-051','25 mm four-element','25 mm, 52° field, 18p2 mm eye relief in service eyepiece 25mm 25mm 25 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','beginners'' box','');
INSERT INTO item_text_content VALUES(75,'E-052','25 mm four-element','25 mm, 52° field, 18p2 mm eye relief in service eyepiece 25mm 25mm 25 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','beginners'' box, small chip at the rim, harmless','');
INSERT INTO item_text_content VALUES(76,'E-053','25 mm four-element','25 mm, 52° field, 18p2 mm eye relief in service eyepiece 25mm 25mm 25 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','beginners'' box, bought with cake-sale money','');
INSERT INTO item_text_content VALUES(77,'E-054','32 mm four-element','32 mm, 48° field, 22p5 mm eye relief in service eyepiece 32mm 32mm 32 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(78,'E-055','32 mm four-element','32 mm, 48° field, 22p5 mm eye relief in service eyepiece 32mm 32mm 32 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','lives with the Apprentice','');
INSERT INTO item_text_content VALUES(79,'E-056','40 mm four-element','40 mm, 38° field, 28p5 mm eye relief in service eyepiece 40mm 40mm 40 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','narrow view but kind to glasses','');
INSERT INTO item_text_content VALUES(80,'E-057','42 mm four-element, wide barrel','42 mm, 56° field, 29 mm eye relief in service eyepiece 42mm 42mm 42 mm 50p8mm 2 inch 2inch wide barrel four element','','');
INSERT INTO item_text_content VALUES(81,'E-058','56 mm four-element, wide barrel','56 mm, 46° field, 38 mm eye relief in service eyepiece 56mm 56mm 56 mm 50p8mm 2 inch 2inch wide barrel four element','for the longest focal lengths only','');
INSERT INTO item_text_content VALUES(82,'E-059','5 mm four-element, flat field','5 mm, 42° field, 3p9 mm eye relief in service eyepiece 5mm 5mm 5 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','sharp as a tack, bring patience','');
INSERT INTO item_text_content VALUES(83,'E-060','7 mm four-element, flat field','7 mm, 42° field, 5p6 mm eye relief in service eyepiece 7mm 7mm 7 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(84,'E-061','9 mm four-element, flat field','9 mm, 42° field, 7p2 mm eye relief in service eyepiece 9mm 9mm 9 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(85,'E-062','12 mm four-element, flat field','12 mm, 42° field, 9p6 mm eye relief in service eyepiece 12mm 12mm 12 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(86,'E-063','18 mm four-element, flat field','18 mm, 42° field, 14p4 mm eye relief in service eyepiece 18mm 18mm 18 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(87,'E-064','30 mm four-element','30 mm, 45° field, 23 mm eye relief in service eyepiece 30mm 30mm 30 mm 31p75mm 1p25 inch 1p25inch standard barrel four element','','');
INSERT INTO item_text_content VALUES(88,'E-065','6 mm three-element','6 mm, 40° field, 2p4 mm eye relief in service eyepiece 6mm 6mm 6 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','short relief, for young eyes only','');
INSERT INTO item_text_content VALUES(89,'E-066','9 mm three-element','9 mm, 40° field, 3p8 mm eye relief in service eyepiece 9mm 9mm 9 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','','');
INSERT INTO item_text_content VALUES(90,'E-067','12 mm three-element','12 mm, 42° field, 5p4 mm eye relief in service eyepiece 12mm 12mm 12 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','','');
INSERT INTO item_text_content VALUES(91,'E-068','17 mm three-element','17 mm, 44° field, 8 mm eye relief in service eyepiece 17mm 17mm 17 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','','');
INSERT INTO item_text_content VALUES(92,'E-069','20 mm three-element','20 mm, 45° field, 9p8 mm eye relief in service eyepiece 20mm 20mm 20 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','came with T-018','');
INSERT INTO item_text_content VALUES(93,'E-070','25 mm three-element','25 mm, 45° field, 12p4 mm eye relief in service eyepiece 25mm 25mm 25 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','','');
INSERT INTO item_text_content VALUES(94,'E-071','28 mm three-element','28 mm, 44° field, 16p5 mm eye relief in service eyepiece 28mm 28mm 28 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','field edge is soft, nobody could measure the stop','');
INSERT INTO item_text_content VALUES(95,'E-072','36 mm three-element, long relief','36 mm, 42° field, 24 mm eye relief in service eyepiece 36mm 36mm 36 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','','');
INSERT INTO item_text_content VALUES(96,'E-073','50 mm three-element, wide barrel','50 mm, 48° field, 31 mm eye relief in service eyepiece 50mm 50mm 50 mm 50p8mm 2 inch 2inch wide barrel three element','fine at f/10, poor in the fast ones','');
INSERT INTO item_text_content VALUES(97,'E-074','20 mm two-lens','20 mm, 36° field, 9p5 mm eye relief in service eyepiece 20mm 20mm 20 mm 31p75mm 1p25 inch 1p25inch standard barrel two lens','','');
INSERT INTO item_text_content VALUES(98,'E-075','12p5 mm two-lens','12p5 mm, 34° field, 4p2 mm eye relief in service eyepiece 12p5mm 12mm 12p5 mm 31p75mm 1p25 inch 1p25inch standard barrel two lens','kept to show what a simple lens does','');
INSERT INTO item_text_content VALUES(99,'E-076','4 mm two-lens, narrow barrel','4 mm, 32° field, 1p5 mm eye relief in service eyepiece 4mm 4mm 4 mm 24p5mm 0p965 inch narrow barrel two lens','more power than the Attic Sixty can use','');
INSERT INTO item_text_content VALUES(100,'E-077','12p5 mm two-lens, narrow barrel','12p5 mm, 36° field, 4p4 mm eye relief in service eyepiece 12p5mm 12mm 12p5 mm 24p5mm 0p965 inch narrow barrel two lens','','');
INSERT INTO item_text_content VALUES(101,'E-078','20 mm two-lens, narrow barrel','20 mm, 38° field, 8p5 mm eye relief in service eyepiece 20mm 20mm 20 mm 24p5mm 0p965 inch narrow barrel two lens','the original, keep it with T-005','');
INSERT INTO item_text_content VALUES(102,'E-079','7 mm four-element, narrow barrel','7 mm, 40° field, 5p4 mm eye relief in service eyepiece 7mm 7mm 7 mm 24p5mm 0p965 inch narrow barrel four element','','');
INSERT INTO item_text_content VALUES(103,'E-080','9 mm four-element, narrow barrel','9 mm, 42° field, 7 mm eye relief in service eyepiece 9mm 9mm 9 mm 24p5mm 0p965 inch narrow barrel four element','','');
INSERT INTO item_text_content VALUES(104,'E-081','12p5 mm four-element, narrow barrel','12p5 mm, 42° field, 9p8 mm eye relief in service eyepiece 12p5mm 12mm 12p5 mm 24p5mm 0p965 inch narrow barrel four element','','');
INSERT INTO item_text_content VALUES(105,'E-082','18 mm four-element, narrow barrel','18 mm, 42° field, 14p2 mm eye relief in service eyepiece 18mm 18mm 18 mm 24p5mm 0p965 inch narrow barrel four element','the best of the narrow ones','');
INSERT INTO item_text_content VALUES(106,'E-083','25 mm three-element, narrow barrel','25 mm, 45° field, 18 mm eye relief in service eyepiece 25mm 25mm 25 mm 24p5mm 0p965 inch narrow barrel three element','','');
INSERT INTO item_text_content VALUES(107,'E-084','30 mm three-element, narrow barrel','30 mm, 42° field, 17 mm eye relief in service eyepiece 30mm 30mm 30 mm 24p5mm 0p965 inch narrow barrel three element','relief from the paper that came with it','');
INSERT INTO item_text_content VALUES(108,'E-085','11p2 mm three-element, no markings','11p2 mm in service eyepiece 11p2mm 11mm 11p2 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','focal length found by drift timing, the rest is a guess nobody made','');
INSERT INTO item_text_content VALUES(109,'E-086','16 mm wide-field, second-hand','16 mm, 65° field in service eyepiece 16mm 16mm 16 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','eye relief never measured','');
INSERT INTO item_text_content VALUES(110,'E-087','24 mm wide-field','24 mm, 60° field, 17 mm eye relief in service eyepiece 24mm 24mm 24 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','needs to be weighed','');
INSERT INTO item_text_content VALUES(111,'E-088','35 mm four-element, wide barrel','35 mm in service eyepiece 35mm 35mm 35 mm 50p8mm 2 inch 2inch wide barrel four element','came in a box of mixed parts','');
INSERT INTO item_text_content VALUES(112,'E-089','2p5 mm wide-field, long relief','2p5 mm, 62° field, 20 mm eye relief in service eyepiece 2p5mm 2mm 2p5 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','almost too strong for our sky, lend with a warning','');
INSERT INTO item_text_content VALUES(113,'E-090','21 mm wide-field, long relief','21 mm, 62° field, 20 mm eye relief needs inspection eyepiece 21mm 21mm 21 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','fungus spot, booked for cleaning','');
INSERT INTO item_text_content VALUES(114,'E-091','8p6 mm wide-field, long relief','8p6 mm, 62° field, 20 mm eye relief in repair eyepiece 8p6mm 9mm 8p6 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','dropped at the spring camp','');
INSERT INTO item_text_content VALUES(115,'E-092','13 mm very wide field','13 mm, 80° field, 14 mm eye relief missing eyepiece 13mm 13mm 13 mm 31p75mm 1p25 inch 1p25inch standard barrel wide field','not seen since the harvest fair','');
INSERT INTO item_text_content VALUES(116,'E-093','10 mm three-element','10 mm, 40° field, 4p2 mm eye relief retired eyepiece 10mm 10mm 10 mm 31p75mm 1p25 inch 1p25inch standard barrel three element','cement gone cloudy','');
INSERT INTO item_text_content VALUES(117,'B-01','2× Barlow','2×, 31p8 mm barrel in service barlow 2x 2× 31p75mm 1p25 inch 1p25inch standard barrel plain','','Case A, lid');
INSERT INTO item_text_content VALUES(118,'B-02','2× Barlow','2×, 31p8 mm barrel in service barlow 2x 2× 31p75mm 1p25 inch 1p25inch standard barrel plain','twin of B-01, blue dot on the box','');
INSERT INTO item_text_content VALUES(119,'B-03','1p5× Barlow, gentle','1p5×, 31p8 mm barrel in service barlow 1p5x 1p5× 31p75mm 1p25 inch 1p25inch standard barrel plain','turns a 12 into an 8','');
INSERT INTO item_text_content VALUES(120,'B-04','2p5× telecentric','2p5×, 31p8 mm barrel in service barlow 2p5x 2p5× 31p75mm 1p25 inch 1p25inch standard barrel telecentric','keeps the eye relief as it is','');
INSERT INTO item_text_content VALUES(121,'B-05','3× Barlow','3×, 31p8 mm barrel in service barlow 3x 3× 31p75mm 1p25 inch 1p25inch standard barrel plain','for the short refractors','');
INSERT INTO item_text_content VALUES(122,'B-06','2× telecentric, wide barrel','2×, 50p8 mm barrel in service barlow 2x 2× 50p8mm 2 inch 2inch wide barrel telecentric','heavy with a heavy eyepiece on it, mind the balance','');
INSERT INTO item_text_content VALUES(123,'B-07','5× telecentric','5×, 31p8 mm barrel in service barlow 5x 5× 31p75mm 1p25 inch 1p25inch standard barrel telecentric','for the camera people, hardly ever for the eye','');
INSERT INTO item_text_content VALUES(124,'B-08','2× Barlow, narrow barrel','2×, 24p5 mm barrel in service barlow 2x 2× 24p5mm 0p965 inch narrow barrel plain','the Attic Sixty''s own','');
INSERT INTO item_text_content VALUES(125,'B-09','4× telecentric, wide barrel','4×, 50p8 mm barrel in service barlow 4x 4× 50p8mm 2 inch 2inch wide barrel telecentric','','');
INSERT INTO item_text_content VALUES(126,'B-10','1p6× Barlow, wide barrel','1p6×, 50p8 mm barrel in service barlow 1p6x 1p6× 50p8mm 2 inch 2inch wide barrel plain','good company for the 31p5 mm','');
INSERT INTO item_text_content VALUES(127,'B-11','1p8× Barlow, no papers','1p8×, 31p8 mm barrel in service barlow 1p8x 1p8× 31p75mm 1p25 inch 1p25inch standard barrel','factor found by measuring a drift, kind unknown','');
INSERT INTO item_text_content VALUES(128,'B-12','2p2× Barlow','2p2×, 31p8 mm barrel needs inspection barlow 2p2x 2p2× 31p75mm 1p25 inch 1p25inch standard barrel plain','lens rattles','');
INSERT INTO item_text_content VALUES(129,'F-01','Full-aperture solar filter for the Heron','Solar filter for the front of a telescope, made for T-004 in service filter  solar sun full aperture','three nylon screws, all must be in','With the Heron');
INSERT INTO item_text_content VALUES(130,'F-02','Full-aperture solar filter for the Thimble','Solar filter for the front of a telescope, made for T-009 in service filter  solar sun full aperture','','');
INSERT INTO item_text_content VALUES(131,'F-03','Full-aperture solar filter for the Orchard','Solar filter for the front of a telescope, made for T-001 in service filter  solar sun full aperture','cap and finder cover are part of the set','');
INSERT INTO item_text_content VALUES(132,'F-04','Full-aperture solar filter for the Postbox','Solar filter for the front of a telescope, made for T-019 in service filter  solar sun full aperture','the children''s day set','');
INSERT INTO item_text_content VALUES(133,'F-05','Full-aperture solar filter, 130 to 146 mm tubes','Solar filter for the front of a telescope, for tubes 130 to 146 mm wide in service filter  solar sun full aperture','light test overdue, not for the Sun until it is done','');
INSERT INTO item_text_content VALUES(134,'F-06','Full-aperture solar filter for Marigold','Solar filter for the front of a telescope, made for T-007 needs inspection filter  solar sun full aperture damaged','pinholes near the rim, do not lend','');
INSERT INTO item_text_content VALUES(135,'F-07','Full-aperture solar filter, 150 to 168 mm tubes','Solar filter for the front of a telescope, for tubes 150 to 168 mm wide in service filter  solar sun full aperture','measure the tube at the front before you book it','');
INSERT INTO item_text_content VALUES(136,'F-08','Moon filter, 13 per cent','Moon filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel moon','','');
INSERT INTO item_text_content VALUES(137,'F-09','Moon filter, 25 per cent','Moon filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel moon','thread a little stiff','');
INSERT INTO item_text_content VALUES(138,'F-10','Moon filter, 13 per cent, wide barrel','Moon filter, 50p8 mm thread in service filter 50p8mm 2 inch 2inch wide barrel moon','','');
INSERT INTO item_text_content VALUES(139,'F-11','Nebula filter, narrow band','Nebula filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel nebula','the one to take to the moor','');
INSERT INTO item_text_content VALUES(140,'F-12','Nebula filter, narrow band, wide barrel','Nebula filter, 50p8 mm thread in service filter 50p8mm 2 inch 2inch wide barrel nebula','','');
INSERT INTO item_text_content VALUES(141,'F-13','Nebula filter, single line, wide barrel','Nebula filter, 50p8 mm thread in service filter 50p8mm 2 inch 2inch wide barrel nebula','needs a large aperture to shine','');
INSERT INTO item_text_content VALUES(142,'F-14','Light yellow filter','Colour filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel colour','','');
INSERT INTO item_text_content VALUES(143,'F-15','Orange filter','Colour filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel colour','for Mars years','');
INSERT INTO item_text_content VALUES(144,'F-16','Pale blue filter','Colour filter, 31p8 mm thread in repair filter 31p75mm 1p25 inch 1p25inch standard barrel colour damaged','cracked across, glass on order','');
INSERT INTO item_text_content VALUES(145,'F-17','Variable polarising filter','Polarising filter, 31p8 mm thread in service filter 31p75mm 1p25 inch 1p25inch standard barrel polarising','turn the ring, not the eyepiece','');
INSERT INTO item_text_content VALUES(146,'F-18','Polarising filter, wide barrel','Polarising filter, 50p8 mm thread in service filter 50p8mm 2 inch 2inch wide barrel polarising','','');
INSERT INTO item_text_content VALUES(147,'A-01','Mirror diagonal for the Heron','Diagonal, 50p8 mm barrel in service accessory star diagonal mirror prism 50p8mm 2 inch 2inch wide barrel','lives in the Heron''s case; keep the dust plug in','');
INSERT INTO item_text_content VALUES(148,'A-02','Prism diagonal, standard','Diagonal, 31p8 mm barrel in service accessory star diagonal mirror prism 31p75mm 1p25 inch 1p25inch standard barrel','','');
INSERT INTO item_text_content VALUES(149,'A-03','Prism diagonal, standard','Diagonal, 31p8 mm barrel needs inspection accessory star diagonal mirror prism 31p75mm 1p25 inch 1p25inch standard barrel','rattles when shaken','');
INSERT INTO item_text_content VALUES(150,'A-04','Upright-image diagonal','Diagonal, 31p8 mm barrel in service accessory star diagonal mirror prism 31p75mm 1p25 inch 1p25inch standard barrel','for looking at the village, not the planets','');
INSERT INTO item_text_content VALUES(151,'A-05','Coma corrector for the big reflectors','Coma corrector, 1p15×, 50p8 mm barrel in service accessory coma corrector 50p8mm 2 inch 2inch wide barrel','the scale on the drawtube is for our own eyepieces','Case C');
INSERT INTO item_text_content VALUES(152,'A-06','Coma corrector, older','Coma corrector, 1×, 50p8 mm barrel in service accessory coma corrector 50p8mm 2 inch 2inch wide barrel','','');
INSERT INTO item_text_content VALUES(153,'A-07','Power pack, 84 Wh','Power pack, 84 Wh in service accessory power pack battery accumulator ','charge it the night before, indoors','Charging shelf');
INSERT INTO item_text_content VALUES(154,'A-08','Power pack, 84 Wh','Power pack, 84 Wh in service accessory power pack battery accumulator ','','');
INSERT INTO item_text_content VALUES(155,'A-09','Power pack, large','Power pack, 240 Wh in repair accessory power pack battery accumulator ','swollen cell; do not charge it','');
INSERT INTO item_text_content VALUES(156,'A-10','Padded case for a dozen eyepieces','Case in service accessory case bag box ','','');
INSERT INTO item_text_content VALUES(157,'A-11','Trolley, two wheels','Accessory in service accessory  ','carries the Ploughman over gravel','');
INSERT INTO item_text_content VALUES(158,'A-12','Red-dot finder','Finder in service accessory finder red dot finderscope ','takes a flat cell; the spare is taped inside','');
INSERT INTO item_text_content VALUES(159,'A-13','Straight finder, 9 × 50','Finder in service accessory finder red dot finderscope ','cap it whenever the Sun is up','');
INSERT INTO item_text_content VALUES(160,'A-14','Folding table for the small telescopes','Accessory in service accessory  ','','');
INSERT INTO item_text_content VALUES(161,'A-15','Observing chair','Accessory in service accessory  ','','');
CREATE TABLE IF NOT EXISTS 'item_text_docsize'(id INTEGER PRIMARY KEY, sz BLOB);
INSERT INTO item_text_docsize VALUES(1,X'02041d0b03');
INSERT INTO item_text_docsize VALUES(2,X'02021d0a00');
INSERT INTO item_text_docsize VALUES(3,X'02011d0900');
INSERT INTO item_text_docsize VALUES(4,X'02021e0703');
INSERT INTO item_text_docsize VALUES(5,X'02031d0c00');
INSERT INTO item_text_docsize VALUES(6,X'02021e0800');
INSERT INTO item_text_docsize VALUES(7,X'02011e0503');
INSERT INTO item_text_docsize VALUES(8,X'0202220600');
INSERT INTO item_text_docsize VALUES(9,X'0201240c03');
INSERT INTO item_text_docsize VALUES(10,X'0202240700');
INSERT INTO item_text_docsize VALUES(11,X'0204240600');
INSERT INTO item_text_docsize VALUES(12,X'0202240b01');
INSERT INTO item_text_docsize VALUES(13,X'0201240701');
INSERT INTO item_text_docsize VALUES(14,X'0202220700');
INSERT INTO item_text_docsize VALUES(15,X'02021d0603');
INSERT INTO item_text_docsize VALUES(16,X'02031d0700');
INSERT INTO item_text_docsize VALUES(17,X'02031d0c03');
INSERT INTO item_text_docsize VALUES(18,X'02021e0900');
INSERT INTO item_text_docsize VALUES(19,X'02021d0600');
INSERT INTO item_text_docsize VALUES(20,X'02021d0800');
INSERT INTO item_text_docsize VALUES(21,X'0202220700');
INSERT INTO item_text_docsize VALUES(22,X'0204220900');
INSERT INTO item_text_docsize VALUES(23,X'02011d0700');
INSERT INTO item_text_docsize VALUES(24,X'0206170604');
INSERT INTO item_text_docsize VALUES(25,X'0206170000');
INSERT INTO item_text_docsize VALUES(26,X'0206170000');
INSERT INTO item_text_docsize VALUES(27,X'0206170800');
INSERT INTO item_text_docsize VALUES(28,X'0206170000');
INSERT INTO item_text_docsize VALUES(29,X'0206170000');
INSERT INTO item_text_docsize VALUES(30,X'0206170400');
INSERT INTO item_text_docsize VALUES(31,X'0206170300');
INSERT INTO item_text_docsize VALUES(32,X'0206170300');
INSERT INTO item_text_docsize VALUES(33,X'0206170800');
INSERT INTO item_text_docsize VALUES(34,X'0206170000');
INSERT INTO item_text_docsize VALUES(35,X'0206170004');
INSERT INTO item_text_docsize VALUES(36,X'0206170500');
INSERT INTO item_text_docsize VALUES(37,X'0206170500');
INSERT INTO item_text_docsize VALUES(38,X'0206170700');
INSERT INTO item_text_docsize VALUES(39,X'0208170900');
INSERT INTO item_text_docsize VALUES(40,X'0208170000');
INSERT INTO item_text_docsize VALUES(41,X'0208170000');
INSERT INTO item_text_docsize VALUES(42,X'0208170700');
INSERT INTO item_text_docsize VALUES(43,X'0208170400');
INSERT INTO item_text_docsize VALUES(44,X'0208170000');
INSERT INTO item_text_docsize VALUES(45,X'0204170000');
INSERT INTO item_text_docsize VALUES(46,X'0204170800');
INSERT INTO item_text_docsize VALUES(47,X'0204170000');
INSERT INTO item_text_docsize VALUES(48,X'0204170000');
INSERT INTO item_text_docsize VALUES(49,X'0204170600');
INSERT INTO item_text_docsize VALUES(50,X'0204170000');
INSERT INTO item_text_docsize VALUES(51,X'0206170a00');
INSERT INTO item_text_docsize VALUES(52,X'0206170a00');
INSERT INTO item_text_docsize VALUES(53,X'0206170000');
INSERT INTO item_text_docsize VALUES(54,X'0207170004');
INSERT INTO item_text_docsize VALUES(55,X'0207170500');
INSERT INTO item_text_docsize VALUES(56,X'0207170000');
INSERT INTO item_text_docsize VALUES(57,X'0207170000');
INSERT INTO item_text_docsize VALUES(58,X'0205170000');
INSERT INTO item_text_docsize VALUES(59,X'0205170600');
INSERT INTO item_text_docsize VALUES(60,X'0207170600');
INSERT INTO item_text_docsize VALUES(61,X'0206170000');
INSERT INTO item_text_docsize VALUES(62,X'0206170000');
INSERT INTO item_text_docsize VALUES(63,X'0206170900');
INSERT INTO item_text_docsize VALUES(64,X'0204170804');
INSERT INTO item_text_docsize VALUES(65,X'0204170500');
INSERT INTO item_text_docsize VALUES(66,X'0204170000');
INSERT INTO item_text_docsize VALUES(67,X'0204170000');
INSERT INTO item_text_docsize VALUES(68,X'0204170000');
INSERT INTO item_text_docsize VALUES(69,X'0204170600');
INSERT INTO item_text_docsize VALUES(70,X'0204170000');
INSERT INTO item_text_docsize VALUES(71,X'0204170000');
INSERT INTO item_text_docsize VALUES(72,X'0204170000');
INSERT INTO item_text_docsize VALUES(73,X'0204170200');
INSERT INTO item_text_docsize VALUES(74,X'0204170200');
INSERT INTO item_text_docsize VALUES(75,X'0204170800');
INSERT INTO item_text_docsize VALUES(76,X'0204170700');
INSERT INTO item_text_docsize VALUES(77,X'0204170000');
INSERT INTO item_text_docsize VALUES(78,X'0204170400');
INSERT INTO item_text_docsize VALUES(79,X'0204170600');
INSERT INTO item_text_docsize VALUES(80,X'0206170000');
INSERT INTO item_text_docsize VALUES(81,X'0206170600');
INSERT INTO item_text_docsize VALUES(82,X'0206170600');
INSERT INTO item_text_docsize VALUES(83,X'0206170000');
INSERT INTO item_text_docsize VALUES(84,X'0206170000');
INSERT INTO item_text_docsize VALUES(85,X'0206170000');
INSERT INTO item_text_docsize VALUES(86,X'0206170000');
INSERT INTO item_text_docsize VALUES(87,X'0204170000');
INSERT INTO item_text_docsize VALUES(88,X'0204170600');
INSERT INTO item_text_docsize VALUES(89,X'0204170000');
INSERT INTO item_text_docsize VALUES(90,X'0204170000');
INSERT INTO item_text_docsize VALUES(91,X'0204170000');
INSERT INTO item_text_docsize VALUES(92,X'0204170400');
INSERT INTO item_text_docsize VALUES(93,X'0204170000');
INSERT INTO item_text_docsize VALUES(94,X'0204170900');
INSERT INTO item_text_docsize VALUES(95,X'0206170000');
INSERT INTO item_text_docsize VALUES(96,X'0206170900');
INSERT INTO item_text_docsize VALUES(97,X'0204170000');
INSERT INTO item_text_docsize VALUES(98,X'0204170800');
INSERT INTO item_text_docsize VALUES(99,X'0206160800');
INSERT INTO item_text_docsize VALUES(100,X'0206160000');
INSERT INTO item_text_docsize VALUES(101,X'0206160700');
INSERT INTO item_text_docsize VALUES(102,X'0206160000');
INSERT INTO item_text_docsize VALUES(103,X'0206160000');
INSERT INTO item_text_docsize VALUES(104,X'0206160000');
INSERT INTO item_text_docsize VALUES(105,X'0206160600');
INSERT INTO item_text_docsize VALUES(106,X'0206160000');
INSERT INTO item_text_docsize VALUES(107,X'0206160800');
INSERT INTO item_text_docsize VALUES(108,X'0206110d00');
INSERT INTO item_text_docsize VALUES(109,X'0206130400');
INSERT INTO item_text_docsize VALUES(110,X'0204170400');
INSERT INTO item_text_docsize VALUES(111,X'0206110700');
INSERT INTO item_text_docsize VALUES(112,X'0206170a00');
INSERT INTO item_text_docsize VALUES(113,X'0206170500');
INSERT INTO item_text_docsize VALUES(114,X'0206170500');
INSERT INTO item_text_docsize VALUES(115,X'0205160600');
INSERT INTO item_text_docsize VALUES(116,X'0204160300');
INSERT INTO item_text_docsize VALUES(117,X'0202100003');
INSERT INTO item_text_docsize VALUES(118,X'0202100900');
INSERT INTO item_text_docsize VALUES(119,X'0203100600');
INSERT INTO item_text_docsize VALUES(120,X'0202100700');
INSERT INTO item_text_docsize VALUES(121,X'0202100400');
INSERT INTO item_text_docsize VALUES(122,X'0204100a00');
INSERT INTO item_text_docsize VALUES(123,X'0202100900');
INSERT INTO item_text_docsize VALUES(124,X'02040f0500');
INSERT INTO item_text_docsize VALUES(125,X'0204100000');
INSERT INTO item_text_docsize VALUES(126,X'0204100600');
INSERT INTO item_text_docsize VALUES(127,X'02040f0800');
INSERT INTO item_text_docsize VALUES(128,X'0202100200');
INSERT INTO item_text_docsize VALUES(129,X'0207130703');
INSERT INTO item_text_docsize VALUES(130,X'0207130000');
INSERT INTO item_text_docsize VALUES(131,X'0207130900');
INSERT INTO item_text_docsize VALUES(132,X'0207130500');
INSERT INTO item_text_docsize VALUES(133,X'0209160b00');
INSERT INTO item_text_docsize VALUES(134,X'0206140700');
INSERT INTO item_text_docsize VALUES(135,X'0209160a00');
INSERT INTO item_text_docsize VALUES(136,X'02050f0000');
INSERT INTO item_text_docsize VALUES(137,X'02050f0400');
INSERT INTO item_text_docsize VALUES(138,X'02070f0000');
INSERT INTO item_text_docsize VALUES(139,X'02040f0700');
INSERT INTO item_text_docsize VALUES(140,X'02060f0000');
INSERT INTO item_text_docsize VALUES(141,X'02060f0600');
INSERT INTO item_text_docsize VALUES(142,X'02030f0000');
INSERT INTO item_text_docsize VALUES(143,X'02020f0300');
INSERT INTO item_text_docsize VALUES(144,X'0203100500');
INSERT INTO item_text_docsize VALUES(145,X'02030f0600');
INSERT INTO item_text_docsize VALUES(146,X'02040f0000');
INSERT INTO item_text_docsize VALUES(147,X'0205110b00');
INSERT INTO item_text_docsize VALUES(148,X'0203110000');
INSERT INTO item_text_docsize VALUES(149,X'0203110300');
INSERT INTO item_text_docsize VALUES(150,X'0203110800');
INSERT INTO item_text_docsize VALUES(151,X'0206110a02');
INSERT INTO item_text_docsize VALUES(152,X'0203110000');
INSERT INTO item_text_docsize VALUES(153,X'02040b0602');
INSERT INTO item_text_docsize VALUES(154,X'02040b0000');
INSERT INTO item_text_docsize VALUES(155,X'02030b0600');
INSERT INTO item_text_docsize VALUES(156,X'0206070000');
INSERT INTO item_text_docsize VALUES(157,X'0203040500');
INSERT INTO item_text_docsize VALUES(158,X'0203080900');
INSERT INTO item_text_docsize VALUES(159,X'0204080700');
INSERT INTO item_text_docsize VALUES(160,X'0206040000');
INSERT INTO item_text_docsize VALUES(161,X'0202040000');
CREATE TABLE IF NOT EXISTS 'item_text_config'(k PRIMARY KEY, v) WITHOUT ROWID;
INSERT INTO item_text_config VALUES('version',4);
CREATE TABLE item_change (
    item_id    INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    version    INTEGER NOT NULL CONSTRAINT item_change_version CHECK (version >= 1),
    field      TEXT NOT NULL
        CONSTRAINT item_change_field CHECK (length(field) BETWEEN 1 AND 40),
    before     TEXT,
    after      TEXT,
    -- Seconds since 1970.
    changed_at INTEGER NOT NULL CONSTRAINT item_change_time CHECK (changed_at >= 0),
    -- None where it came from the command line.
    changed_by INTEGER REFERENCES account (id) ON DELETE SET NULL,
    PRIMARY KEY (item_id, version, field),
    CONSTRAINT item_change_is_one CHECK (before IS NOT after)
) STRICT, WITHOUT ROWID;
INSERT INTO item_change VALUES(1,1,'asset_tag',NULL,'T-001',1780657200,NULL);
INSERT INTO item_change VALUES(1,2,'place',NULL,'Back wall, floor',1780657200,NULL);
INSERT INTO item_change VALUES(1,2,'set',NULL,'Rocker box; Straight finder; Dust cap; Collimation cap',1780657200,NULL);
INSERT INTO item_change VALUES(1,2,'value',NULL,'480',1780657200,NULL);
INSERT INTO item_change VALUES(2,1,'asset_tag',NULL,'T-002',1780657200,NULL);
INSERT INTO item_change VALUES(3,1,'asset_tag',NULL,'T-003',1780657200,NULL);
INSERT INTO item_change VALUES(4,1,'asset_tag',NULL,'T-004',1780657200,NULL);
INSERT INTO item_change VALUES(4,2,'place',NULL,'Cupboard 1, top',1780657200,NULL);
INSERT INTO item_change VALUES(4,2,'set',NULL,'Tripod; Red-dot finder; Mirror diagonal; Dust cap',1780657200,NULL);
INSERT INTO item_change VALUES(4,2,'value',NULL,'390',1780657200,NULL);
INSERT INTO item_change VALUES(5,1,'asset_tag',NULL,'T-005',1780657200,NULL);
INSERT INTO item_change VALUES(6,1,'asset_tag',NULL,'T-006',1780657200,NULL);
INSERT INTO item_change VALUES(7,1,'asset_tag',NULL,'T-007',1780657200,NULL);
INSERT INTO item_change VALUES(7,2,'place',NULL,'Cupboard 1, middle',1780657200,NULL);
INSERT INTO item_change VALUES(7,2,'set',NULL,'Tripod; Finder, capped by day; Dust cap',1780657200,NULL);
INSERT INTO item_change VALUES(7,2,'value',NULL,'520',1780657200,NULL);
INSERT INTO item_change VALUES(8,1,'asset_tag',NULL,'T-008',1780657200,NULL);
INSERT INTO item_change VALUES(9,1,'asset_tag',NULL,'T-009',1780657200,NULL);
INSERT INTO item_change VALUES(9,2,'place',NULL,'Cupboard 2, top',1780657200,NULL);
INSERT INTO item_change VALUES(9,2,'value',NULL,'410',1780657200,NULL);
INSERT INTO item_change VALUES(10,1,'asset_tag',NULL,'T-010',1780657200,NULL);
INSERT INTO item_change VALUES(11,1,'asset_tag',NULL,'T-011',1780657200,NULL);
INSERT INTO item_change VALUES(12,1,'asset_tag',NULL,'T-012',1780657200,NULL);
INSERT INTO item_change VALUES(12,2,'place',NULL,'Trolley',1780657200,NULL);
INSERT INTO item_change VALUES(12,2,'value',NULL,'1350',1780657200,NULL);
INSERT INTO item_change VALUES(13,1,'asset_tag',NULL,'T-013',1780657200,NULL);
INSERT INTO item_change VALUES(13,2,'owner',NULL,'3',1780657200,NULL);
INSERT INTO item_change VALUES(13,2,'place',NULL,'Trolley',1780657200,NULL);
INSERT INTO item_change VALUES(13,2,'value',NULL,'2100',1780657200,NULL);
INSERT INTO item_change VALUES(14,1,'asset_tag',NULL,'T-014',1780657200,NULL);
INSERT INTO item_change VALUES(15,1,'asset_tag',NULL,'T-015',1780657200,NULL);
INSERT INTO item_change VALUES(15,2,'place',NULL,'Back wall, floor',1780657200,NULL);
INSERT INTO item_change VALUES(15,2,'set',NULL,'Rocker box; Straight finder; Mirror cover; Collimation tool; Shroud',1780657200,NULL);
INSERT INTO item_change VALUES(15,2,'value',NULL,'560',1780657200,NULL);
INSERT INTO item_change VALUES(16,1,'asset_tag',NULL,'T-016',1780657200,NULL);
INSERT INTO item_change VALUES(17,1,'asset_tag',NULL,'T-017',1780657200,NULL);
INSERT INTO item_change VALUES(17,2,'owner',NULL,'1',1780657200,NULL);
INSERT INTO item_change VALUES(17,2,'place',NULL,'Mill, ground floor',1780657200,NULL);
INSERT INTO item_change VALUES(17,2,'value',NULL,'2400',1780657200,NULL);
INSERT INTO item_change VALUES(18,1,'asset_tag',NULL,'T-018',1780657200,NULL);
INSERT INTO item_change VALUES(19,1,'asset_tag',NULL,'T-019',1780657200,NULL);
INSERT INTO item_change VALUES(20,1,'asset_tag',NULL,'T-020',1780657200,NULL);
INSERT INTO item_change VALUES(21,1,'asset_tag',NULL,'T-021',1780657200,NULL);
INSERT INTO item_change VALUES(22,1,'asset_tag',NULL,'T-022',1780657200,NULL);
INSERT INTO item_change VALUES(23,1,'asset_tag',NULL,'T-023',1780657200,NULL);
INSERT INTO item_change VALUES(24,1,'asset_tag',NULL,'E-001',1780657200,NULL);
INSERT INTO item_change VALUES(24,2,'place',NULL,'Case A, row 1',1780657200,NULL);
INSERT INTO item_change VALUES(24,2,'value',NULL,'85',1780657200,NULL);
INSERT INTO item_change VALUES(25,1,'asset_tag',NULL,'E-002',1780657200,NULL);
INSERT INTO item_change VALUES(26,1,'asset_tag',NULL,'E-003',1780657200,NULL);
INSERT INTO item_change VALUES(27,1,'asset_tag',NULL,'E-004',1780657200,NULL);
INSERT INTO item_change VALUES(28,1,'asset_tag',NULL,'E-005',1780657200,NULL);
INSERT INTO item_change VALUES(29,1,'asset_tag',NULL,'E-006',1780657200,NULL);
INSERT INTO item_change VALUES(30,1,'asset_tag',NULL,'E-007',1780657200,NULL);
INSERT INTO item_change VALUES(31,1,'asset_tag',NULL,'E-008',1780657200,NULL);
INSERT INTO item_change VALUES(32,1,'asset_tag',NULL,'E-009',1780657200,NULL);
INSERT INTO item_change VALUES(33,1,'asset_tag',NULL,'E-010',1780657200,NULL);
INSERT INTO item_change VALUES(34,1,'asset_tag',NULL,'E-011',1780657200,NULL);
INSERT INTO item_change VALUES(35,1,'asset_tag',NULL,'E-012',1780657200,NULL);
INSERT INTO item_change VALUES(35,2,'place',NULL,'Case A, row 2',1780657200,NULL);
INSERT INTO item_change VALUES(35,2,'value',NULL,'140',1780657200,NULL);
INSERT INTO item_change VALUES(36,1,'asset_tag',NULL,'E-013',1780657200,NULL);
INSERT INTO item_change VALUES(37,1,'asset_tag',NULL,'E-014',1780657200,NULL);
INSERT INTO item_change VALUES(38,1,'asset_tag',NULL,'E-015',1780657200,NULL);
INSERT INTO item_change VALUES(39,1,'asset_tag',NULL,'E-016',1780657200,NULL);
INSERT INTO item_change VALUES(40,1,'asset_tag',NULL,'E-017',1780657200,NULL);
INSERT INTO item_change VALUES(41,1,'asset_tag',NULL,'E-018',1780657200,NULL);
INSERT INTO item_change VALUES(42,1,'asset_tag',NULL,'E-019',1780657200,NULL);
INSERT INTO item_change VALUES(43,1,'asset_tag',NULL,'E-020',1780657200,NULL);
INSERT INTO item_change VALUES(44,1,'asset_tag',NULL,'E-021',1780657200,NULL);
INSERT INTO item_change VALUES(45,1,'asset_tag',NULL,'E-022',1780657200,NULL);
INSERT INTO item_change VALUES(46,1,'asset_tag',NULL,'E-023',1780657200,NULL);
INSERT INTO item_change VALUES(47,1,'asset_tag',NULL,'E-024',1780657200,NULL);
INSERT INTO item_change VALUES(48,1,'asset_tag',NULL,'E-025',1780657200,NULL);
INSERT INTO item_change VALUES(49,1,'asset_tag',NULL,'E-026',1780657200,NULL);
INSERT INTO item_change VALUES(50,1,'asset_tag',NULL,'E-027',1780657200,NULL);
INSERT INTO item_change VALUES(51,1,'asset_tag',NULL,'E-028',1780657200,NULL);
INSERT INTO item_change VALUES(52,1,'asset_tag',NULL,'E-029',1780657200,NULL);
INSERT INTO item_change VALUES(53,1,'asset_tag',NULL,'E-030',1780657200,NULL);
INSERT INTO item_change VALUES(54,1,'asset_tag',NULL,'E-031',1780657200,NULL);
INSERT INTO item_change VALUES(54,2,'place',NULL,'Case B, row 1',1780657200,NULL);
INSERT INTO item_change VALUES(54,2,'value',NULL,'230',1780657200,NULL);
INSERT INTO item_change VALUES(55,1,'asset_tag',NULL,'E-032',1780657200,NULL);
INSERT INTO item_change VALUES(56,1,'asset_tag',NULL,'E-033',1780657200,NULL);
INSERT INTO item_change VALUES(57,1,'asset_tag',NULL,'E-034',1780657200,NULL);
INSERT INTO item_change VALUES(58,1,'asset_tag',NULL,'E-035',1780657200,NULL);
INSERT INTO item_change VALUES(59,1,'asset_tag',NULL,'E-036',1780657200,NULL);
INSERT INTO item_change VALUES(60,1,'asset_tag',NULL,'E-037',1780657200,NULL);
INSERT INTO item_change VALUES(61,1,'asset_tag',NULL,'E-038',1780657200,NULL);
INSERT INTO item_change VALUES(62,1,'asset_tag',NULL,'E-039',1780657200,NULL);
INSERT INTO item_change VALUES(63,1,'asset_tag',NULL,'E-040',1780657200,NULL);
INSERT INTO item_change VALUES(64,1,'asset_tag',NULL,'E-041',1780657200,NULL);
INSERT INTO item_change VALUES(64,2,'owner',NULL,'3',1780657200,NULL);
INSERT INTO item_change VALUES(64,2,'place',NULL,'Case B, row 3',1780657200,NULL);
INSERT INTO item_change VALUES(64,2,'value',NULL,'390.50',1780657200,NULL);
INSERT INTO item_change VALUES(65,1,'asset_tag',NULL,'E-042',1780657200,NULL);
INSERT INTO item_change VALUES(66,1,'asset_tag',NULL,'E-043',1780657200,NULL);
INSERT INTO item_change VALUES(67,1,'asset_tag',NULL,'E-044',1780657200,NULL);
INSERT INTO item_change VALUES(68,1,'asset_tag',NULL,'E-045',1780657200,NULL);
INSERT INTO item_change VALUES(69,1,'asset_tag',NULL,'E-046',1780657200,NULL);
INSERT INTO item_change VALUES(70,1,'asset_tag',NULL,'E-047',1780657200,NULL);
INSERT INTO item_change VALUES(71,1,'asset_tag',NULL,'E-048',1780657200,NULL);
INSERT INTO item_change VALUES(72,1,'asset_tag',NULL,'E-049',1780657200,NULL);
INSERT INTO item_change VALUES(73,1,'asset_tag',NULL,'E-050',1780657200,NULL);
INSERT INTO item_change VALUES(74,1,'asset_tag',NULL,'E-051',1780657200,NULL);
INSERT INTO item_change VALUES(75,1,'asset_tag',NULL,'E-052',1780657200,NULL);
INSERT INTO item_change VALUES(76,1,'asset_tag',NULL,'E-053',1780657200,NULL);
INSERT INTO item_change VALUES(77,1,'asset_tag',NULL,'E-054',1780657200,NULL);
INSERT INTO item_change VALUES(78,1,'asset_tag',NULL,'E-055',1780657200,NULL);
INSERT INTO item_change VALUES(79,1,'asset_tag',NULL,'E-056',1780657200,NULL);
INSERT INTO item_change VALUES(80,1,'asset_tag',NULL,'E-057',1780657200,NULL);
INSERT INTO item_change VALUES(81,1,'asset_tag',NULL,'E-058',1780657200,NULL);
INSERT INTO item_change VALUES(82,1,'asset_tag',NULL,'E-059',1780657200,NULL);
INSERT INTO item_change VALUES(83,1,'asset_tag',NULL,'E-060',1780657200,NULL);
INSERT INTO item_change VALUES(84,1,'asset_tag',NULL,'E-061',1780657200,NULL);
INSERT INTO item_change VALUES(85,1,'asset_tag',NULL,'E-062',1780657200,NULL);
INSERT INTO item_change VALUES(86,1,'asset_tag',NULL,'E-063',1780657200,NULL);
INSERT INTO item_change VALUES(87,1,'asset_tag',NULL,'E-064',1780657200,NULL);
INSERT INTO item_change VALUES(88,1,'asset_tag',NULL,'E-065',1780657200,NULL);
INSERT INTO item_change VALUES(89,1,'asset_tag',NULL,'E-066',1780657200,NULL);
INSERT INTO item_change VALUES(90,1,'asset_tag',NULL,'E-067',1780657200,NULL);
INSERT INTO item_change VALUES(91,1,'asset_tag',NULL,'E-068',1780657200,NULL);
INSERT INTO item_change VALUES(92,1,'asset_tag',NULL,'E-069',1780657200,NULL);
INSERT INTO item_change VALUES(93,1,'asset_tag',NULL,'E-070',1780657200,NULL);
INSERT INTO item_change VALUES(94,1,'asset_tag',NULL,'E-071',1780657200,NULL);
INSERT INTO item_change VALUES(95,1,'asset_tag',NULL,'E-072',1780657200,NULL);
INSERT INTO item_change VALUES(96,1,'asset_tag',NULL,'E-073',1780657200,NULL);
INSERT INTO item_change VALUES(97,1,'asset_tag',NULL,'E-074',1780657200,NULL);
INSERT INTO item_change VALUES(98,1,'asset_tag',NULL,'E-075',1780657200,NULL);
INSERT INTO item_change VALUES(99,1,'asset_tag',NULL,'E-076',1780657200,NULL);
INSERT INTO item_change VALUES(100,1,'asset_tag',NULL,'E-077',1780657200,NULL);
INSERT INTO item_change VALUES(101,1,'asset_tag',NULL,'E-078',1780657200,NULL);
INSERT INTO item_change VALUES(102,1,'asset_tag',NULL,'E-079',1780657200,NULL);
INSERT INTO item_change VALUES(103,1,'asset_tag',NULL,'E-080',1780657200,NULL);
INSERT INTO item_change VALUES(104,1,'asset_tag',NULL,'E-081',1780657200,NULL);
INSERT INTO item_change VALUES(105,1,'asset_tag',NULL,'E-082',1780657200,NULL);
INSERT INTO item_change VALUES(106,1,'asset_tag',NULL,'E-083',1780657200,NULL);
INSERT INTO item_change VALUES(107,1,'asset_tag',NULL,'E-084',1780657200,NULL);
INSERT INTO item_change VALUES(108,1,'asset_tag',NULL,'E-085',1780657200,NULL);
INSERT INTO item_change VALUES(109,1,'asset_tag',NULL,'E-086',1780657200,NULL);
INSERT INTO item_change VALUES(110,1,'asset_tag',NULL,'E-087',1780657200,NULL);
INSERT INTO item_change VALUES(111,1,'asset_tag',NULL,'E-088',1780657200,NULL);
INSERT INTO item_change VALUES(112,1,'asset_tag',NULL,'E-089',1780657200,NULL);
INSERT INTO item_change VALUES(113,1,'asset_tag',NULL,'E-090',1780657200,NULL);
INSERT INTO item_change VALUES(114,1,'asset_tag',NULL,'E-091',1780657200,NULL);
INSERT INTO item_change VALUES(115,1,'asset_tag',NULL,'E-092',1780657200,NULL);
INSERT INTO item_change VALUES(116,1,'asset_tag',NULL,'E-093',1780657200,NULL);
INSERT INTO item_change VALUES(117,1,'asset_tag',NULL,'B-01',1780657200,NULL);
INSERT INTO item_change VALUES(117,2,'place',NULL,'Case A, lid',1780657200,NULL);
INSERT INTO item_change VALUES(117,2,'value',NULL,'45',1780657200,NULL);
INSERT INTO item_change VALUES(118,1,'asset_tag',NULL,'B-02',1780657200,NULL);
INSERT INTO item_change VALUES(119,1,'asset_tag',NULL,'B-03',1780657200,NULL);
INSERT INTO item_change VALUES(120,1,'asset_tag',NULL,'B-04',1780657200,NULL);
INSERT INTO item_change VALUES(121,1,'asset_tag',NULL,'B-05',1780657200,NULL);
INSERT INTO item_change VALUES(122,1,'asset_tag',NULL,'B-06',1780657200,NULL);
INSERT INTO item_change VALUES(123,1,'asset_tag',NULL,'B-07',1780657200,NULL);
INSERT INTO item_change VALUES(124,1,'asset_tag',NULL,'B-08',1780657200,NULL);
INSERT INTO item_change VALUES(125,1,'asset_tag',NULL,'B-09',1780657200,NULL);
INSERT INTO item_change VALUES(126,1,'asset_tag',NULL,'B-10',1780657200,NULL);
INSERT INTO item_change VALUES(127,1,'asset_tag',NULL,'B-11',1780657200,NULL);
INSERT INTO item_change VALUES(128,1,'asset_tag',NULL,'B-12',1780657200,NULL);
INSERT INTO item_change VALUES(129,1,'asset_tag',NULL,'F-01',1780657200,NULL);
INSERT INTO item_change VALUES(129,2,'place',NULL,'With the Heron',1780657200,NULL);
INSERT INTO item_change VALUES(129,2,'value',NULL,'95',1780657200,NULL);
INSERT INTO item_change VALUES(130,1,'asset_tag',NULL,'F-02',1780657200,NULL);
INSERT INTO item_change VALUES(131,1,'asset_tag',NULL,'F-03',1780657200,NULL);
INSERT INTO item_change VALUES(132,1,'asset_tag',NULL,'F-04',1780657200,NULL);
INSERT INTO item_change VALUES(133,1,'asset_tag',NULL,'F-05',1780657200,NULL);
INSERT INTO item_change VALUES(134,1,'asset_tag',NULL,'F-06',1780657200,NULL);
INSERT INTO item_change VALUES(135,1,'asset_tag',NULL,'F-07',1780657200,NULL);
INSERT INTO item_change VALUES(136,1,'asset_tag',NULL,'F-08',1780657200,NULL);
INSERT INTO item_change VALUES(137,1,'asset_tag',NULL,'F-09',1780657200,NULL);
INSERT INTO item_change VALUES(138,1,'asset_tag',NULL,'F-10',1780657200,NULL);
INSERT INTO item_change VALUES(139,1,'asset_tag',NULL,'F-11',1780657200,NULL);
INSERT INTO item_change VALUES(140,1,'asset_tag',NULL,'F-12',1780657200,NULL);
INSERT INTO item_change VALUES(141,1,'asset_tag',NULL,'F-13',1780657200,NULL);
INSERT INTO item_change VALUES(142,1,'asset_tag',NULL,'F-14',1780657200,NULL);
INSERT INTO item_change VALUES(143,1,'asset_tag',NULL,'F-15',1780657200,NULL);
INSERT INTO item_change VALUES(144,1,'asset_tag',NULL,'F-16',1780657200,NULL);
INSERT INTO item_change VALUES(145,1,'asset_tag',NULL,'F-17',1780657200,NULL);
INSERT INTO item_change VALUES(146,1,'asset_tag',NULL,'F-18',1780657200,NULL);
INSERT INTO item_change VALUES(147,1,'asset_tag',NULL,'A-01',1780657200,NULL);
INSERT INTO item_change VALUES(148,1,'asset_tag',NULL,'A-02',1780657200,NULL);
INSERT INTO item_change VALUES(149,1,'asset_tag',NULL,'A-03',1780657200,NULL);
INSERT INTO item_change VALUES(150,1,'asset_tag',NULL,'A-04',1780657200,NULL);
INSERT INTO item_change VALUES(151,1,'asset_tag',NULL,'A-05',1780657200,NULL);
INSERT INTO item_change VALUES(151,2,'place',NULL,'Case C',1780657200,NULL);
INSERT INTO item_change VALUES(151,2,'value',NULL,'210',1780657200,NULL);
INSERT INTO item_change VALUES(152,1,'asset_tag',NULL,'A-06',1780657200,NULL);
INSERT INTO item_change VALUES(153,1,'asset_tag',NULL,'A-07',1780657200,NULL);
INSERT INTO item_change VALUES(153,2,'place',NULL,'Charging shelf',1780657200,NULL);
INSERT INTO item_change VALUES(153,2,'value',NULL,'120',1780657200,NULL);
INSERT INTO item_change VALUES(154,1,'asset_tag',NULL,'A-08',1780657200,NULL);
INSERT INTO item_change VALUES(155,1,'asset_tag',NULL,'A-09',1780657200,NULL);
INSERT INTO item_change VALUES(156,1,'asset_tag',NULL,'A-10',1780657200,NULL);
INSERT INTO item_change VALUES(157,1,'asset_tag',NULL,'A-11',1780657200,NULL);
INSERT INTO item_change VALUES(158,1,'asset_tag',NULL,'A-12',1780657200,NULL);
INSERT INTO item_change VALUES(159,1,'asset_tag',NULL,'A-13',1780657200,NULL);
INSERT INTO item_change VALUES(160,1,'asset_tag',NULL,'A-14',1780657200,NULL);
INSERT INTO item_change VALUES(161,1,'asset_tag',NULL,'A-15',1780657200,NULL);
CREATE TABLE IF NOT EXISTS "reservation" (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id   INTEGER NOT NULL REFERENCES member (id),
    first_night TEXT NOT NULL
        CONSTRAINT reservation_first_night CHECK (
            length(first_night) = 10 AND first_night = date(first_night)
        ),
    last_night  TEXT NOT NULL
        CONSTRAINT reservation_last_night CHECK (
            length(last_night) = 10 AND last_night = date(last_night)
        ),
    state       TEXT NOT NULL
        CONSTRAINT reservation_state CHECK (
            state IN ('requested', 'confirmed', 'ready', 'declined', 'cancelled', 'no_show', 'out',
                      'closed')
        ),
    -- Seconds since 1970.
    created_at  INTEGER NOT NULL CONSTRAINT reservation_created_at CHECK (created_at >= 0),
    -- Whether anything is to be used while the Sun is up.
    daylight    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT reservation_daylight CHECK (daylight IN (0, 1)),
    -- Counts the changes; the API's ETag.
    version     INTEGER NOT NULL DEFAULT 1 CONSTRAINT reservation_version CHECK (version >= 1), outreach INTEGER NOT NULL DEFAULT 0
    CONSTRAINT reservation_outreach CHECK (outreach IN (0, 1)), cancelled_late INTEGER NOT NULL DEFAULT 0
    CONSTRAINT reservation_cancelled_late CHECK (cancelled_late IN (0, 1)), site_id INTEGER REFERENCES site (id) ON DELETE SET NULL,
    CONSTRAINT reservation_nights CHECK (
        julianday(last_night) - julianday(first_night) BETWEEN 0 AND 365
    )
) STRICT;
INSERT INTO reservation VALUES(1,3,'2026-05-01','2026-05-03','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(2,11,'2026-05-01','2026-05-03','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(3,17,'2026-05-08','2026-05-10','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(4,6,'2026-05-08','2026-05-17','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(5,38,'2026-05-15','2026-05-17','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(6,25,'2026-05-15','2026-05-16','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(7,2,'2026-05-22','2026-05-24','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(8,29,'2026-05-22','2026-05-25','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(9,33,'2026-05-22','2026-05-31','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(10,14,'2026-05-29','2026-05-31','out',1780657200,0,2,0,0,NULL);
INSERT INTO reservation VALUES(11,8,'2026-05-29','2026-05-31','closed',1780657200,0,3,0,0,NULL);
INSERT INTO reservation VALUES(12,36,'2026-06-01','2026-06-07','out',1780657200,0,2,0,0,NULL);
INSERT INTO reservation VALUES(13,21,'2026-06-05','2026-06-07','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(14,5,'2026-06-05','2026-06-06','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(15,28,'2026-06-04','2026-06-08','out',1780657200,0,2,0,0,NULL);
INSERT INTO reservation VALUES(16,16,'2026-06-05','2026-06-05','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(17,1,'2026-06-06','2026-06-07','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(18,48,'2026-06-07','2026-06-11','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(19,2,'2026-06-12','2026-06-14','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(20,29,'2026-06-12','2026-06-14','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(21,37,'2026-06-12','2026-06-13','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(22,46,'2026-06-15','2026-06-21','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(23,38,'2026-06-19','2026-06-21','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(24,45,'2026-06-19','2026-06-21','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(25,19,'2026-06-19','2026-06-28','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(26,24,'2026-06-26','2026-06-28','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(27,7,'2026-06-26','2026-06-28','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(28,33,'2026-07-03','2026-07-05','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(29,34,'2026-07-03','2026-07-12','confirmed',1780657200,0,1,0,0,NULL);
INSERT INTO reservation VALUES(30,11,'2026-07-10','2026-07-12','confirmed',1780657200,0,1,0,0,NULL);
CREATE TABLE IF NOT EXISTS "reservation_item" (
    reservation_id INTEGER NOT NULL REFERENCES "reservation" (id) ON DELETE CASCADE,
    item_id        INTEGER NOT NULL REFERENCES item (id),
    state          TEXT NOT NULL DEFAULT 'planned'
        CONSTRAINT reservation_item_state CHECK (
            state IN ('planned', 'out', 'returned', 'missing', 'dropped')
        ),
    PRIMARY KEY (reservation_id, item_id)
) STRICT, WITHOUT ROWID;
INSERT INTO reservation_item VALUES(1,7,'returned');
INSERT INTO reservation_item VALUES(1,25,'returned');
INSERT INTO reservation_item VALUES(1,29,'returned');
INSERT INTO reservation_item VALUES(1,35,'returned');
INSERT INTO reservation_item VALUES(1,117,'returned');
INSERT INTO reservation_item VALUES(2,8,'returned');
INSERT INTO reservation_item VALUES(2,34,'returned');
INSERT INTO reservation_item VALUES(2,43,'returned');
INSERT INTO reservation_item VALUES(2,49,'returned');
INSERT INTO reservation_item VALUES(3,12,'returned');
INSERT INTO reservation_item VALUES(3,31,'returned');
INSERT INTO reservation_item VALUES(3,40,'returned');
INSERT INTO reservation_item VALUES(3,44,'returned');
INSERT INTO reservation_item VALUES(3,122,'returned');
INSERT INTO reservation_item VALUES(4,1,'returned');
INSERT INTO reservation_item VALUES(4,41,'returned');
INSERT INTO reservation_item VALUES(4,46,'returned');
INSERT INTO reservation_item VALUES(4,48,'returned');
INSERT INTO reservation_item VALUES(4,59,'returned');
INSERT INTO reservation_item VALUES(4,139,'returned');
INSERT INTO reservation_item VALUES(5,16,'returned');
INSERT INTO reservation_item VALUES(5,60,'returned');
INSERT INTO reservation_item VALUES(5,61,'returned');
INSERT INTO reservation_item VALUES(5,62,'returned');
INSERT INTO reservation_item VALUES(5,120,'returned');
INSERT INTO reservation_item VALUES(5,140,'returned');
INSERT INTO reservation_item VALUES(6,3,'returned');
INSERT INTO reservation_item VALUES(6,47,'returned');
INSERT INTO reservation_item VALUES(6,73,'returned');
INSERT INTO reservation_item VALUES(6,118,'returned');
INSERT INTO reservation_item VALUES(7,15,'returned');
INSERT INTO reservation_item VALUES(7,26,'returned');
INSERT INTO reservation_item VALUES(7,31,'returned');
INSERT INTO reservation_item VALUES(7,37,'returned');
INSERT INTO reservation_item VALUES(7,42,'returned');
INSERT INTO reservation_item VALUES(8,4,'returned');
INSERT INTO reservation_item VALUES(8,28,'returned');
INSERT INTO reservation_item VALUES(8,38,'returned');
INSERT INTO reservation_item VALUES(8,40,'returned');
INSERT INTO reservation_item VALUES(8,129,'returned');
INSERT INTO reservation_item VALUES(9,19,'returned');
INSERT INTO reservation_item VALUES(9,50,'returned');
INSERT INTO reservation_item VALUES(9,75,'returned');
INSERT INTO reservation_item VALUES(9,132,'returned');
INSERT INTO reservation_item VALUES(10,10,'out');
INSERT INTO reservation_item VALUES(10,35,'out');
INSERT INTO reservation_item VALUES(10,49,'out');
INSERT INTO reservation_item VALUES(10,77,'out');
INSERT INTO reservation_item VALUES(11,20,'returned');
INSERT INTO reservation_item VALUES(11,30,'returned');
INSERT INTO reservation_item VALUES(11,34,'returned');
INSERT INTO reservation_item VALUES(11,36,'returned');
INSERT INTO reservation_item VALUES(12,1,'out');
INSERT INTO reservation_item VALUES(12,29,'out');
INSERT INTO reservation_item VALUES(12,37,'out');
INSERT INTO reservation_item VALUES(12,41,'out');
INSERT INTO reservation_item VALUES(12,117,'out');
INSERT INTO reservation_item VALUES(13,7,'planned');
INSERT INTO reservation_item VALUES(13,27,'planned');
INSERT INTO reservation_item VALUES(13,28,'planned');
INSERT INTO reservation_item VALUES(13,38,'planned');
INSERT INTO reservation_item VALUES(13,40,'planned');
INSERT INTO reservation_item VALUES(14,16,'planned');
INSERT INTO reservation_item VALUES(14,60,'planned');
INSERT INTO reservation_item VALUES(14,61,'planned');
INSERT INTO reservation_item VALUES(14,62,'planned');
INSERT INTO reservation_item VALUES(14,63,'planned');
INSERT INTO reservation_item VALUES(14,141,'planned');
INSERT INTO reservation_item VALUES(15,12,'out');
INSERT INTO reservation_item VALUES(15,33,'out');
INSERT INTO reservation_item VALUES(15,44,'out');
INSERT INTO reservation_item VALUES(16,9,'planned');
INSERT INTO reservation_item VALUES(16,73,'planned');
INSERT INTO reservation_item VALUES(16,77,'planned');
INSERT INTO reservation_item VALUES(17,5,'planned');
INSERT INTO reservation_item VALUES(17,105,'planned');
INSERT INTO reservation_item VALUES(17,106,'planned');
INSERT INTO reservation_item VALUES(17,124,'planned');
INSERT INTO reservation_item VALUES(18,2,'planned');
INSERT INTO reservation_item VALUES(18,50,'planned');
INSERT INTO reservation_item VALUES(18,74,'planned');
INSERT INTO reservation_item VALUES(18,118,'planned');
INSERT INTO reservation_item VALUES(19,12,'planned');
INSERT INTO reservation_item VALUES(19,29,'planned');
INSERT INTO reservation_item VALUES(19,31,'planned');
INSERT INTO reservation_item VALUES(19,40,'planned');
INSERT INTO reservation_item VALUES(19,43,'planned');
INSERT INTO reservation_item VALUES(20,1,'planned');
INSERT INTO reservation_item VALUES(20,41,'planned');
INSERT INTO reservation_item VALUES(20,45,'planned');
INSERT INTO reservation_item VALUES(20,48,'planned');
INSERT INTO reservation_item VALUES(20,50,'planned');
INSERT INTO reservation_item VALUES(21,8,'planned');
INSERT INTO reservation_item VALUES(21,28,'planned');
INSERT INTO reservation_item VALUES(21,32,'planned');
INSERT INTO reservation_item VALUES(21,35,'planned');
INSERT INTO reservation_item VALUES(21,44,'planned');
INSERT INTO reservation_item VALUES(22,14,'planned');
INSERT INTO reservation_item VALUES(22,39,'planned');
INSERT INTO reservation_item VALUES(22,47,'planned');
INSERT INTO reservation_item VALUES(22,48,'planned');
INSERT INTO reservation_item VALUES(22,119,'planned');
INSERT INTO reservation_item VALUES(23,17,'planned');
INSERT INTO reservation_item VALUES(23,41,'planned');
INSERT INTO reservation_item VALUES(23,58,'planned');
INSERT INTO reservation_item VALUES(23,59,'planned');
INSERT INTO reservation_item VALUES(23,61,'planned');
INSERT INTO reservation_item VALUES(23,140,'planned');
INSERT INTO reservation_item VALUES(24,7,'planned');
INSERT INTO reservation_item VALUES(24,28,'planned');
INSERT INTO reservation_item VALUES(24,29,'planned');
INSERT INTO reservation_item VALUES(24,37,'planned');
INSERT INTO reservation_item VALUES(24,40,'planned');
INSERT INTO reservation_item VALUES(25,6,'planned');
INSERT INTO reservation_item VALUES(25,34,'planned');
INSERT INTO reservation_item VALUES(25,36,'planned');
INSERT INTO reservation_item VALUES(25,76,'planned');
INSERT INTO reservation_item VALUES(26,13,'planned');
INSERT INTO reservation_item VALUES(26,40,'planned');
INSERT INTO reservation_item VALUES(26,43,'planned');
INSERT INTO reservation_item VALUES(26,81,'planned');
INSERT INTO reservation_item VALUES(27,1,'planned');
INSERT INTO reservation_item VALUES(27,27,'planned');
INSERT INTO reservation_item VALUES(27,30,'planned');
INSERT INTO reservation_item VALUES(27,37,'planned');
INSERT INTO reservation_item VALUES(27,42,'planned');
INSERT INTO reservation_item VALUES(27,131,'planned');
INSERT INTO reservation_item VALUES(28,19,'planned');
INSERT INTO reservation_item VALUES(28,31,'planned');
INSERT INTO reservation_item VALUES(28,47,'planned');
INSERT INTO reservation_item VALUES(28,75,'planned');
INSERT INTO reservation_item VALUES(28,132,'planned');
INSERT INTO reservation_item VALUES(29,11,'planned');
INSERT INTO reservation_item VALUES(29,35,'planned');
INSERT INTO reservation_item VALUES(29,38,'planned');
INSERT INTO reservation_item VALUES(29,43,'planned');
INSERT INTO reservation_item VALUES(30,15,'planned');
INSERT INTO reservation_item VALUES(30,41,'planned');
INSERT INTO reservation_item VALUES(30,45,'planned');
INSERT INTO reservation_item VALUES(30,49,'planned');
INSERT INTO reservation_item VALUES(30,140,'planned');
CREATE TABLE IF NOT EXISTS "item_night" (
    item_id        INTEGER NOT NULL,
    night          TEXT NOT NULL
        CONSTRAINT item_night_is_a_date CHECK (length(night) = 10 AND night = date(night)),
    -- plan: promised. turnaround: looked after. overdue: not back yet. offer: held for somebody
    -- from the waiting list. block: kept by the club.
    kind           TEXT NOT NULL DEFAULT 'plan'
        CONSTRAINT item_night_kind CHECK (
            kind IN ('plan', 'turnaround', 'overdue', 'offer', 'block')
        ),
    reservation_id INTEGER,
    -- The place on the waiting list, or the club's block.
    holder_id      INTEGER,
    PRIMARY KEY (item_id, night),
    CONSTRAINT item_night_has_one_reason CHECK (
        (kind IN ('offer', 'block')) = (holder_id IS NOT NULL)
        AND (holder_id IS NULL) = (reservation_id IS NOT NULL)
    ),
    FOREIGN KEY (item_id) REFERENCES item (id),
    FOREIGN KEY (reservation_id, item_id)
        REFERENCES "reservation_item" (reservation_id, item_id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO item_night VALUES(1,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(1,'2026-06-01','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-02','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-03','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-04','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-05','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-06','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-07','plan',12,NULL);
INSERT INTO item_night VALUES(1,'2026-06-12','plan',20,NULL);
INSERT INTO item_night VALUES(1,'2026-06-13','plan',20,NULL);
INSERT INTO item_night VALUES(1,'2026-06-14','plan',20,NULL);
INSERT INTO item_night VALUES(1,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(1,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(1,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(2,'2026-06-07','plan',18,NULL);
INSERT INTO item_night VALUES(2,'2026-06-08','plan',18,NULL);
INSERT INTO item_night VALUES(2,'2026-06-09','plan',18,NULL);
INSERT INTO item_night VALUES(2,'2026-06-10','plan',18,NULL);
INSERT INTO item_night VALUES(2,'2026-06-11','plan',18,NULL);
INSERT INTO item_night VALUES(3,'2026-05-15','plan',6,NULL);
INSERT INTO item_night VALUES(3,'2026-05-16','plan',6,NULL);
INSERT INTO item_night VALUES(4,'2026-05-22','plan',8,NULL);
INSERT INTO item_night VALUES(4,'2026-05-23','plan',8,NULL);
INSERT INTO item_night VALUES(4,'2026-05-24','plan',8,NULL);
INSERT INTO item_night VALUES(4,'2026-05-25','plan',8,NULL);
INSERT INTO item_night VALUES(5,'2026-06-06','plan',17,NULL);
INSERT INTO item_night VALUES(5,'2026-06-07','plan',17,NULL);
INSERT INTO item_night VALUES(6,'2026-06-19','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-20','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-21','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-22','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-23','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-24','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-25','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-26','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-27','plan',25,NULL);
INSERT INTO item_night VALUES(6,'2026-06-28','plan',25,NULL);
INSERT INTO item_night VALUES(7,'2026-05-01','plan',1,NULL);
INSERT INTO item_night VALUES(7,'2026-05-02','plan',1,NULL);
INSERT INTO item_night VALUES(7,'2026-05-03','plan',1,NULL);
INSERT INTO item_night VALUES(7,'2026-06-05','plan',13,NULL);
INSERT INTO item_night VALUES(7,'2026-06-06','plan',13,NULL);
INSERT INTO item_night VALUES(7,'2026-06-07','plan',13,NULL);
INSERT INTO item_night VALUES(7,'2026-06-19','plan',24,NULL);
INSERT INTO item_night VALUES(7,'2026-06-20','plan',24,NULL);
INSERT INTO item_night VALUES(7,'2026-06-21','plan',24,NULL);
INSERT INTO item_night VALUES(8,'2026-05-01','plan',2,NULL);
INSERT INTO item_night VALUES(8,'2026-05-02','plan',2,NULL);
INSERT INTO item_night VALUES(8,'2026-05-03','plan',2,NULL);
INSERT INTO item_night VALUES(8,'2026-06-12','plan',21,NULL);
INSERT INTO item_night VALUES(8,'2026-06-13','plan',21,NULL);
INSERT INTO item_night VALUES(9,'2026-06-05','plan',16,NULL);
INSERT INTO item_night VALUES(10,'2026-05-29','plan',10,NULL);
INSERT INTO item_night VALUES(10,'2026-05-30','plan',10,NULL);
INSERT INTO item_night VALUES(10,'2026-05-31','plan',10,NULL);
INSERT INTO item_night VALUES(10,'2026-06-05','overdue',10,NULL);
INSERT INTO item_night VALUES(11,'2026-07-03','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-04','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-05','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-06','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-07','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-08','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-09','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-10','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-11','plan',29,NULL);
INSERT INTO item_night VALUES(11,'2026-07-12','plan',29,NULL);
INSERT INTO item_night VALUES(12,'2026-05-08','plan',3,NULL);
INSERT INTO item_night VALUES(12,'2026-05-09','plan',3,NULL);
INSERT INTO item_night VALUES(12,'2026-05-10','plan',3,NULL);
INSERT INTO item_night VALUES(12,'2026-06-04','plan',15,NULL);
INSERT INTO item_night VALUES(12,'2026-06-05','plan',15,NULL);
INSERT INTO item_night VALUES(12,'2026-06-06','plan',15,NULL);
INSERT INTO item_night VALUES(12,'2026-06-07','plan',15,NULL);
INSERT INTO item_night VALUES(12,'2026-06-08','plan',15,NULL);
INSERT INTO item_night VALUES(12,'2026-06-12','plan',19,NULL);
INSERT INTO item_night VALUES(12,'2026-06-13','plan',19,NULL);
INSERT INTO item_night VALUES(12,'2026-06-14','plan',19,NULL);
INSERT INTO item_night VALUES(13,'2026-06-26','plan',26,NULL);
INSERT INTO item_night VALUES(13,'2026-06-27','plan',26,NULL);
INSERT INTO item_night VALUES(13,'2026-06-28','plan',26,NULL);
INSERT INTO item_night VALUES(14,'2026-06-15','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-16','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-17','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-18','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-19','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-20','plan',22,NULL);
INSERT INTO item_night VALUES(14,'2026-06-21','plan',22,NULL);
INSERT INTO item_night VALUES(15,'2026-05-22','plan',7,NULL);
INSERT INTO item_night VALUES(15,'2026-05-23','plan',7,NULL);
INSERT INTO item_night VALUES(15,'2026-05-24','plan',7,NULL);
INSERT INTO item_night VALUES(15,'2026-07-10','plan',30,NULL);
INSERT INTO item_night VALUES(15,'2026-07-11','plan',30,NULL);
INSERT INTO item_night VALUES(15,'2026-07-12','plan',30,NULL);
INSERT INTO item_night VALUES(16,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(16,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(16,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(16,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(16,'2026-06-06','plan',14,NULL);
INSERT INTO item_night VALUES(17,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(17,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(17,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(18,'2026-06-19','offer',NULL,2);
INSERT INTO item_night VALUES(18,'2026-06-20','offer',NULL,2);
INSERT INTO item_night VALUES(18,'2026-06-21','offer',NULL,2);
INSERT INTO item_night VALUES(19,'2026-05-22','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-23','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-24','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-25','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-26','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-27','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-28','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-29','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-30','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-05-31','plan',9,NULL);
INSERT INTO item_night VALUES(19,'2026-06-18','block',NULL,1);
INSERT INTO item_night VALUES(19,'2026-07-03','plan',28,NULL);
INSERT INTO item_night VALUES(19,'2026-07-04','plan',28,NULL);
INSERT INTO item_night VALUES(19,'2026-07-05','plan',28,NULL);
INSERT INTO item_night VALUES(20,'2026-05-29','plan',11,NULL);
INSERT INTO item_night VALUES(20,'2026-05-30','plan',11,NULL);
INSERT INTO item_night VALUES(20,'2026-05-31','plan',11,NULL);
INSERT INTO item_night VALUES(25,'2026-05-01','plan',1,NULL);
INSERT INTO item_night VALUES(25,'2026-05-02','plan',1,NULL);
INSERT INTO item_night VALUES(25,'2026-05-03','plan',1,NULL);
INSERT INTO item_night VALUES(26,'2026-05-22','plan',7,NULL);
INSERT INTO item_night VALUES(26,'2026-05-23','plan',7,NULL);
INSERT INTO item_night VALUES(26,'2026-05-24','plan',7,NULL);
INSERT INTO item_night VALUES(27,'2026-06-05','plan',13,NULL);
INSERT INTO item_night VALUES(27,'2026-06-06','plan',13,NULL);
INSERT INTO item_night VALUES(27,'2026-06-07','plan',13,NULL);
INSERT INTO item_night VALUES(27,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(27,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(27,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(28,'2026-05-22','plan',8,NULL);
INSERT INTO item_night VALUES(28,'2026-05-23','plan',8,NULL);
INSERT INTO item_night VALUES(28,'2026-05-24','plan',8,NULL);
INSERT INTO item_night VALUES(28,'2026-05-25','plan',8,NULL);
INSERT INTO item_night VALUES(28,'2026-06-05','plan',13,NULL);
INSERT INTO item_night VALUES(28,'2026-06-06','plan',13,NULL);
INSERT INTO item_night VALUES(28,'2026-06-07','plan',13,NULL);
INSERT INTO item_night VALUES(28,'2026-06-12','plan',21,NULL);
INSERT INTO item_night VALUES(28,'2026-06-13','plan',21,NULL);
INSERT INTO item_night VALUES(28,'2026-06-19','plan',24,NULL);
INSERT INTO item_night VALUES(28,'2026-06-20','plan',24,NULL);
INSERT INTO item_night VALUES(28,'2026-06-21','plan',24,NULL);
INSERT INTO item_night VALUES(29,'2026-05-01','plan',1,NULL);
INSERT INTO item_night VALUES(29,'2026-05-02','plan',1,NULL);
INSERT INTO item_night VALUES(29,'2026-05-03','plan',1,NULL);
INSERT INTO item_night VALUES(29,'2026-06-01','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-02','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-03','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-04','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-05','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-06','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-07','plan',12,NULL);
INSERT INTO item_night VALUES(29,'2026-06-12','plan',19,NULL);
INSERT INTO item_night VALUES(29,'2026-06-13','plan',19,NULL);
INSERT INTO item_night VALUES(29,'2026-06-14','plan',19,NULL);
INSERT INTO item_night VALUES(29,'2026-06-19','plan',24,NULL);
INSERT INTO item_night VALUES(29,'2026-06-20','plan',24,NULL);
INSERT INTO item_night VALUES(29,'2026-06-21','plan',24,NULL);
INSERT INTO item_night VALUES(30,'2026-05-29','plan',11,NULL);
INSERT INTO item_night VALUES(30,'2026-05-30','plan',11,NULL);
INSERT INTO item_night VALUES(30,'2026-05-31','plan',11,NULL);
INSERT INTO item_night VALUES(30,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(30,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(30,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(31,'2026-05-08','plan',3,NULL);
INSERT INTO item_night VALUES(31,'2026-05-09','plan',3,NULL);
INSERT INTO item_night VALUES(31,'2026-05-10','plan',3,NULL);
INSERT INTO item_night VALUES(31,'2026-05-22','plan',7,NULL);
INSERT INTO item_night VALUES(31,'2026-05-23','plan',7,NULL);
INSERT INTO item_night VALUES(31,'2026-05-24','plan',7,NULL);
INSERT INTO item_night VALUES(31,'2026-06-12','plan',19,NULL);
INSERT INTO item_night VALUES(31,'2026-06-13','plan',19,NULL);
INSERT INTO item_night VALUES(31,'2026-06-14','plan',19,NULL);
INSERT INTO item_night VALUES(31,'2026-07-03','plan',28,NULL);
INSERT INTO item_night VALUES(31,'2026-07-04','plan',28,NULL);
INSERT INTO item_night VALUES(31,'2026-07-05','plan',28,NULL);
INSERT INTO item_night VALUES(32,'2026-06-12','plan',21,NULL);
INSERT INTO item_night VALUES(32,'2026-06-13','plan',21,NULL);
INSERT INTO item_night VALUES(33,'2026-06-04','plan',15,NULL);
INSERT INTO item_night VALUES(33,'2026-06-05','plan',15,NULL);
INSERT INTO item_night VALUES(33,'2026-06-06','plan',15,NULL);
INSERT INTO item_night VALUES(33,'2026-06-07','plan',15,NULL);
INSERT INTO item_night VALUES(33,'2026-06-08','plan',15,NULL);
INSERT INTO item_night VALUES(34,'2026-05-01','plan',2,NULL);
INSERT INTO item_night VALUES(34,'2026-05-02','plan',2,NULL);
INSERT INTO item_night VALUES(34,'2026-05-03','plan',2,NULL);
INSERT INTO item_night VALUES(34,'2026-05-29','plan',11,NULL);
INSERT INTO item_night VALUES(34,'2026-05-30','plan',11,NULL);
INSERT INTO item_night VALUES(34,'2026-05-31','plan',11,NULL);
INSERT INTO item_night VALUES(34,'2026-06-19','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-20','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-21','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-22','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-23','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-24','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-25','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-26','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-27','plan',25,NULL);
INSERT INTO item_night VALUES(34,'2026-06-28','plan',25,NULL);
INSERT INTO item_night VALUES(35,'2026-05-01','plan',1,NULL);
INSERT INTO item_night VALUES(35,'2026-05-02','plan',1,NULL);
INSERT INTO item_night VALUES(35,'2026-05-03','plan',1,NULL);
INSERT INTO item_night VALUES(35,'2026-05-29','plan',10,NULL);
INSERT INTO item_night VALUES(35,'2026-05-30','plan',10,NULL);
INSERT INTO item_night VALUES(35,'2026-05-31','plan',10,NULL);
INSERT INTO item_night VALUES(35,'2026-06-05','overdue',10,NULL);
INSERT INTO item_night VALUES(35,'2026-06-12','plan',21,NULL);
INSERT INTO item_night VALUES(35,'2026-06-13','plan',21,NULL);
INSERT INTO item_night VALUES(35,'2026-07-03','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-04','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-05','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-06','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-07','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-08','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-09','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-10','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-11','plan',29,NULL);
INSERT INTO item_night VALUES(35,'2026-07-12','plan',29,NULL);
INSERT INTO item_night VALUES(36,'2026-05-29','plan',11,NULL);
INSERT INTO item_night VALUES(36,'2026-05-30','plan',11,NULL);
INSERT INTO item_night VALUES(36,'2026-05-31','plan',11,NULL);
INSERT INTO item_night VALUES(36,'2026-06-19','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-20','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-21','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-22','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-23','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-24','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-25','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-26','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-27','plan',25,NULL);
INSERT INTO item_night VALUES(36,'2026-06-28','plan',25,NULL);
INSERT INTO item_night VALUES(37,'2026-05-22','plan',7,NULL);
INSERT INTO item_night VALUES(37,'2026-05-23','plan',7,NULL);
INSERT INTO item_night VALUES(37,'2026-05-24','plan',7,NULL);
INSERT INTO item_night VALUES(37,'2026-06-01','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-02','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-03','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-04','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-05','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-06','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-07','plan',12,NULL);
INSERT INTO item_night VALUES(37,'2026-06-19','plan',24,NULL);
INSERT INTO item_night VALUES(37,'2026-06-20','plan',24,NULL);
INSERT INTO item_night VALUES(37,'2026-06-21','plan',24,NULL);
INSERT INTO item_night VALUES(37,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(37,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(37,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(38,'2026-05-22','plan',8,NULL);
INSERT INTO item_night VALUES(38,'2026-05-23','plan',8,NULL);
INSERT INTO item_night VALUES(38,'2026-05-24','plan',8,NULL);
INSERT INTO item_night VALUES(38,'2026-05-25','plan',8,NULL);
INSERT INTO item_night VALUES(38,'2026-06-05','plan',13,NULL);
INSERT INTO item_night VALUES(38,'2026-06-06','plan',13,NULL);
INSERT INTO item_night VALUES(38,'2026-06-07','plan',13,NULL);
INSERT INTO item_night VALUES(38,'2026-07-03','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-04','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-05','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-06','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-07','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-08','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-09','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-10','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-11','plan',29,NULL);
INSERT INTO item_night VALUES(38,'2026-07-12','plan',29,NULL);
INSERT INTO item_night VALUES(39,'2026-06-15','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-16','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-17','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-18','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-19','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-20','plan',22,NULL);
INSERT INTO item_night VALUES(39,'2026-06-21','plan',22,NULL);
INSERT INTO item_night VALUES(40,'2026-05-08','plan',3,NULL);
INSERT INTO item_night VALUES(40,'2026-05-09','plan',3,NULL);
INSERT INTO item_night VALUES(40,'2026-05-10','plan',3,NULL);
INSERT INTO item_night VALUES(40,'2026-05-22','plan',8,NULL);
INSERT INTO item_night VALUES(40,'2026-05-23','plan',8,NULL);
INSERT INTO item_night VALUES(40,'2026-05-24','plan',8,NULL);
INSERT INTO item_night VALUES(40,'2026-05-25','plan',8,NULL);
INSERT INTO item_night VALUES(40,'2026-06-05','plan',13,NULL);
INSERT INTO item_night VALUES(40,'2026-06-06','plan',13,NULL);
INSERT INTO item_night VALUES(40,'2026-06-07','plan',13,NULL);
INSERT INTO item_night VALUES(40,'2026-06-12','plan',19,NULL);
INSERT INTO item_night VALUES(40,'2026-06-13','plan',19,NULL);
INSERT INTO item_night VALUES(40,'2026-06-14','plan',19,NULL);
INSERT INTO item_night VALUES(40,'2026-06-19','plan',24,NULL);
INSERT INTO item_night VALUES(40,'2026-06-20','plan',24,NULL);
INSERT INTO item_night VALUES(40,'2026-06-21','plan',24,NULL);
INSERT INTO item_night VALUES(40,'2026-06-26','plan',26,NULL);
INSERT INTO item_night VALUES(40,'2026-06-27','plan',26,NULL);
INSERT INTO item_night VALUES(40,'2026-06-28','plan',26,NULL);
INSERT INTO item_night VALUES(41,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(41,'2026-06-01','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-02','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-03','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-04','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-05','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-06','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-07','plan',12,NULL);
INSERT INTO item_night VALUES(41,'2026-06-12','plan',20,NULL);
INSERT INTO item_night VALUES(41,'2026-06-13','plan',20,NULL);
INSERT INTO item_night VALUES(41,'2026-06-14','plan',20,NULL);
INSERT INTO item_night VALUES(41,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(41,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(41,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(41,'2026-07-10','plan',30,NULL);
INSERT INTO item_night VALUES(41,'2026-07-11','plan',30,NULL);
INSERT INTO item_night VALUES(41,'2026-07-12','plan',30,NULL);
INSERT INTO item_night VALUES(42,'2026-05-22','plan',7,NULL);
INSERT INTO item_night VALUES(42,'2026-05-23','plan',7,NULL);
INSERT INTO item_night VALUES(42,'2026-05-24','plan',7,NULL);
INSERT INTO item_night VALUES(42,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(42,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(42,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(43,'2026-05-01','plan',2,NULL);
INSERT INTO item_night VALUES(43,'2026-05-02','plan',2,NULL);
INSERT INTO item_night VALUES(43,'2026-05-03','plan',2,NULL);
INSERT INTO item_night VALUES(43,'2026-06-12','plan',19,NULL);
INSERT INTO item_night VALUES(43,'2026-06-13','plan',19,NULL);
INSERT INTO item_night VALUES(43,'2026-06-14','plan',19,NULL);
INSERT INTO item_night VALUES(43,'2026-06-26','plan',26,NULL);
INSERT INTO item_night VALUES(43,'2026-06-27','plan',26,NULL);
INSERT INTO item_night VALUES(43,'2026-06-28','plan',26,NULL);
INSERT INTO item_night VALUES(43,'2026-07-03','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-04','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-05','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-06','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-07','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-08','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-09','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-10','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-11','plan',29,NULL);
INSERT INTO item_night VALUES(43,'2026-07-12','plan',29,NULL);
INSERT INTO item_night VALUES(44,'2026-05-08','plan',3,NULL);
INSERT INTO item_night VALUES(44,'2026-05-09','plan',3,NULL);
INSERT INTO item_night VALUES(44,'2026-05-10','plan',3,NULL);
INSERT INTO item_night VALUES(44,'2026-06-04','plan',15,NULL);
INSERT INTO item_night VALUES(44,'2026-06-05','plan',15,NULL);
INSERT INTO item_night VALUES(44,'2026-06-06','plan',15,NULL);
INSERT INTO item_night VALUES(44,'2026-06-07','plan',15,NULL);
INSERT INTO item_night VALUES(44,'2026-06-08','plan',15,NULL);
INSERT INTO item_night VALUES(44,'2026-06-12','plan',21,NULL);
INSERT INTO item_night VALUES(44,'2026-06-13','plan',21,NULL);
INSERT INTO item_night VALUES(45,'2026-06-12','plan',20,NULL);
INSERT INTO item_night VALUES(45,'2026-06-13','plan',20,NULL);
INSERT INTO item_night VALUES(45,'2026-06-14','plan',20,NULL);
INSERT INTO item_night VALUES(45,'2026-07-10','plan',30,NULL);
INSERT INTO item_night VALUES(45,'2026-07-11','plan',30,NULL);
INSERT INTO item_night VALUES(45,'2026-07-12','plan',30,NULL);
INSERT INTO item_night VALUES(46,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(46,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(47,'2026-05-15','plan',6,NULL);
INSERT INTO item_night VALUES(47,'2026-05-16','plan',6,NULL);
INSERT INTO item_night VALUES(47,'2026-06-15','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-16','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-17','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-18','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-19','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-20','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-06-21','plan',22,NULL);
INSERT INTO item_night VALUES(47,'2026-07-03','plan',28,NULL);
INSERT INTO item_night VALUES(47,'2026-07-04','plan',28,NULL);
INSERT INTO item_night VALUES(47,'2026-07-05','plan',28,NULL);
INSERT INTO item_night VALUES(48,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(48,'2026-06-12','plan',20,NULL);
INSERT INTO item_night VALUES(48,'2026-06-13','plan',20,NULL);
INSERT INTO item_night VALUES(48,'2026-06-14','plan',20,NULL);
INSERT INTO item_night VALUES(48,'2026-06-15','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-16','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-17','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-18','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-19','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-20','plan',22,NULL);
INSERT INTO item_night VALUES(48,'2026-06-21','plan',22,NULL);
INSERT INTO item_night VALUES(49,'2026-05-01','plan',2,NULL);
INSERT INTO item_night VALUES(49,'2026-05-02','plan',2,NULL);
INSERT INTO item_night VALUES(49,'2026-05-03','plan',2,NULL);
INSERT INTO item_night VALUES(49,'2026-05-29','plan',10,NULL);
INSERT INTO item_night VALUES(49,'2026-05-30','plan',10,NULL);
INSERT INTO item_night VALUES(49,'2026-05-31','plan',10,NULL);
INSERT INTO item_night VALUES(49,'2026-06-05','overdue',10,NULL);
INSERT INTO item_night VALUES(49,'2026-07-10','plan',30,NULL);
INSERT INTO item_night VALUES(49,'2026-07-11','plan',30,NULL);
INSERT INTO item_night VALUES(49,'2026-07-12','plan',30,NULL);
INSERT INTO item_night VALUES(50,'2026-05-22','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-23','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-24','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-25','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-26','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-27','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-28','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-29','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-30','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-05-31','plan',9,NULL);
INSERT INTO item_night VALUES(50,'2026-06-07','plan',18,NULL);
INSERT INTO item_night VALUES(50,'2026-06-08','plan',18,NULL);
INSERT INTO item_night VALUES(50,'2026-06-09','plan',18,NULL);
INSERT INTO item_night VALUES(50,'2026-06-10','plan',18,NULL);
INSERT INTO item_night VALUES(50,'2026-06-11','plan',18,NULL);
INSERT INTO item_night VALUES(50,'2026-06-12','plan',20,NULL);
INSERT INTO item_night VALUES(50,'2026-06-13','plan',20,NULL);
INSERT INTO item_night VALUES(50,'2026-06-14','plan',20,NULL);
INSERT INTO item_night VALUES(58,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(58,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(58,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(59,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(59,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(59,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(59,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(60,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(60,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(60,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(60,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(60,'2026-06-06','plan',14,NULL);
INSERT INTO item_night VALUES(61,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(61,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(61,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(61,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(61,'2026-06-06','plan',14,NULL);
INSERT INTO item_night VALUES(61,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(61,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(61,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(62,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(62,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(62,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(62,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(62,'2026-06-06','plan',14,NULL);
INSERT INTO item_night VALUES(63,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(63,'2026-06-06','plan',14,NULL);
INSERT INTO item_night VALUES(73,'2026-05-15','plan',6,NULL);
INSERT INTO item_night VALUES(73,'2026-05-16','plan',6,NULL);
INSERT INTO item_night VALUES(73,'2026-06-05','plan',16,NULL);
INSERT INTO item_night VALUES(74,'2026-06-07','plan',18,NULL);
INSERT INTO item_night VALUES(74,'2026-06-08','plan',18,NULL);
INSERT INTO item_night VALUES(74,'2026-06-09','plan',18,NULL);
INSERT INTO item_night VALUES(74,'2026-06-10','plan',18,NULL);
INSERT INTO item_night VALUES(74,'2026-06-11','plan',18,NULL);
INSERT INTO item_night VALUES(75,'2026-05-22','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-23','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-24','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-25','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-26','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-27','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-28','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-29','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-30','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-05-31','plan',9,NULL);
INSERT INTO item_night VALUES(75,'2026-07-03','plan',28,NULL);
INSERT INTO item_night VALUES(75,'2026-07-04','plan',28,NULL);
INSERT INTO item_night VALUES(75,'2026-07-05','plan',28,NULL);
INSERT INTO item_night VALUES(76,'2026-06-19','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-20','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-21','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-22','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-23','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-24','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-25','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-26','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-27','plan',25,NULL);
INSERT INTO item_night VALUES(76,'2026-06-28','plan',25,NULL);
INSERT INTO item_night VALUES(77,'2026-05-29','plan',10,NULL);
INSERT INTO item_night VALUES(77,'2026-05-30','plan',10,NULL);
INSERT INTO item_night VALUES(77,'2026-05-31','plan',10,NULL);
INSERT INTO item_night VALUES(77,'2026-06-05','plan',16,NULL);
INSERT INTO item_night VALUES(81,'2026-06-26','plan',26,NULL);
INSERT INTO item_night VALUES(81,'2026-06-27','plan',26,NULL);
INSERT INTO item_night VALUES(81,'2026-06-28','plan',26,NULL);
INSERT INTO item_night VALUES(105,'2026-06-06','plan',17,NULL);
INSERT INTO item_night VALUES(105,'2026-06-07','plan',17,NULL);
INSERT INTO item_night VALUES(106,'2026-06-06','plan',17,NULL);
INSERT INTO item_night VALUES(106,'2026-06-07','plan',17,NULL);
INSERT INTO item_night VALUES(117,'2026-05-01','plan',1,NULL);
INSERT INTO item_night VALUES(117,'2026-05-02','plan',1,NULL);
INSERT INTO item_night VALUES(117,'2026-05-03','plan',1,NULL);
INSERT INTO item_night VALUES(117,'2026-06-01','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-02','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-03','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-04','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-05','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-06','plan',12,NULL);
INSERT INTO item_night VALUES(117,'2026-06-07','plan',12,NULL);
INSERT INTO item_night VALUES(118,'2026-05-15','plan',6,NULL);
INSERT INTO item_night VALUES(118,'2026-05-16','plan',6,NULL);
INSERT INTO item_night VALUES(118,'2026-06-07','plan',18,NULL);
INSERT INTO item_night VALUES(118,'2026-06-08','plan',18,NULL);
INSERT INTO item_night VALUES(118,'2026-06-09','plan',18,NULL);
INSERT INTO item_night VALUES(118,'2026-06-10','plan',18,NULL);
INSERT INTO item_night VALUES(118,'2026-06-11','plan',18,NULL);
INSERT INTO item_night VALUES(119,'2026-06-15','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-16','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-17','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-18','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-19','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-20','plan',22,NULL);
INSERT INTO item_night VALUES(119,'2026-06-21','plan',22,NULL);
INSERT INTO item_night VALUES(120,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(120,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(120,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(122,'2026-05-08','plan',3,NULL);
INSERT INTO item_night VALUES(122,'2026-05-09','plan',3,NULL);
INSERT INTO item_night VALUES(122,'2026-05-10','plan',3,NULL);
INSERT INTO item_night VALUES(124,'2026-06-06','plan',17,NULL);
INSERT INTO item_night VALUES(124,'2026-06-07','plan',17,NULL);
INSERT INTO item_night VALUES(129,'2026-05-22','plan',8,NULL);
INSERT INTO item_night VALUES(129,'2026-05-23','plan',8,NULL);
INSERT INTO item_night VALUES(129,'2026-05-24','plan',8,NULL);
INSERT INTO item_night VALUES(129,'2026-05-25','plan',8,NULL);
INSERT INTO item_night VALUES(131,'2026-06-26','plan',27,NULL);
INSERT INTO item_night VALUES(131,'2026-06-27','plan',27,NULL);
INSERT INTO item_night VALUES(131,'2026-06-28','plan',27,NULL);
INSERT INTO item_night VALUES(132,'2026-05-22','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-23','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-24','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-25','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-26','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-27','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-28','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-29','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-30','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-05-31','plan',9,NULL);
INSERT INTO item_night VALUES(132,'2026-07-03','plan',28,NULL);
INSERT INTO item_night VALUES(132,'2026-07-04','plan',28,NULL);
INSERT INTO item_night VALUES(132,'2026-07-05','plan',28,NULL);
INSERT INTO item_night VALUES(139,'2026-05-08','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-09','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-10','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-11','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-12','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-13','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-14','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-15','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-16','plan',4,NULL);
INSERT INTO item_night VALUES(139,'2026-05-17','plan',4,NULL);
INSERT INTO item_night VALUES(140,'2026-05-15','plan',5,NULL);
INSERT INTO item_night VALUES(140,'2026-05-16','plan',5,NULL);
INSERT INTO item_night VALUES(140,'2026-05-17','plan',5,NULL);
INSERT INTO item_night VALUES(140,'2026-06-19','plan',23,NULL);
INSERT INTO item_night VALUES(140,'2026-06-20','plan',23,NULL);
INSERT INTO item_night VALUES(140,'2026-06-21','plan',23,NULL);
INSERT INTO item_night VALUES(140,'2026-07-10','plan',30,NULL);
INSERT INTO item_night VALUES(140,'2026-07-11','plan',30,NULL);
INSERT INTO item_night VALUES(140,'2026-07-12','plan',30,NULL);
INSERT INTO item_night VALUES(141,'2026-06-05','plan',14,NULL);
INSERT INTO item_night VALUES(141,'2026-06-06','plan',14,NULL);
CREATE TABLE loan (
    id               INTEGER PRIMARY KEY AUTOINCREMENT,
    reservation_id   INTEGER NOT NULL UNIQUE REFERENCES reservation (id),
    handed_at        INTEGER NOT NULL CONSTRAINT loan_handed_at CHECK (handed_at >= 0),
    -- The account of whoever gave it out.
    handed_by        INTEGER,
    -- The name that the borrower, or a minor's guardian, signed with.
    signed_name      TEXT NOT NULL CONSTRAINT loan_signed_name CHECK (length(signed_name) <= 120),
    guardian         TEXT CONSTRAINT loan_guardian CHECK (length(guardian) BETWEEN 1 AND 120),
    witness          TEXT CONSTRAINT loan_witness CHECK (length(witness) BETWEEN 1 AND 120),
    -- The version of the cautions that was shown and acknowledged.
    cautions_version INTEGER NOT NULL CONSTRAINT loan_cautions CHECK (cautions_version >= 1),
    note             TEXT NOT NULL DEFAULT '' CONSTRAINT loan_note CHECK (length(note) <= 1000)
) STRICT;
INSERT INTO loan VALUES(1,1,1777658400,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(2,2,1777658400,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(3,3,1778263200,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(4,4,1778263200,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(5,6,1778868000,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(6,5,1778868000,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(7,7,1779472800,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(8,8,1779472800,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(9,9,1779472800,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(10,10,1780077600,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(11,11,1780077600,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(12,12,1780336800,8,'signed on paper',NULL,NULL,1,'');
INSERT INTO loan VALUES(13,15,1780596000,8,'signed on paper',NULL,NULL,1,'');
CREATE TABLE custody (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    loan_id     INTEGER NOT NULL REFERENCES loan (id),
    item_id     INTEGER NOT NULL REFERENCES item (id),
    member_id   INTEGER NOT NULL REFERENCES member (id),
    handed_at   INTEGER NOT NULL,
    returned_at INTEGER,
    -- The account of whoever took it back.
    received_by INTEGER,
    condition   TEXT CONSTRAINT custody_condition CHECK (
        condition IN ('good', 'dirty', 'damaged', 'incomplete')
    ),
    note        TEXT NOT NULL DEFAULT '' CONSTRAINT custody_note CHECK (length(note) <= 1000),
    CONSTRAINT custody_ends_after_it_begins CHECK (returned_at >= handed_at),
    CONSTRAINT custody_condition_is_noted CHECK ((returned_at IS NULL) = (condition IS NULL)),
    UNIQUE (loan_id, item_id)
) STRICT;
INSERT INTO custody VALUES(1,1,7,3,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(2,1,25,3,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(3,1,29,3,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(4,1,35,3,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(5,1,117,3,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(6,2,8,11,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(7,2,34,11,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(8,2,43,11,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(9,2,49,11,1777658400,1777917600,8,'good','');
INSERT INTO custody VALUES(10,3,12,17,1778263200,1778522400,8,'good','');
INSERT INTO custody VALUES(11,3,31,17,1778263200,1778522400,8,'good','');
INSERT INTO custody VALUES(12,3,40,17,1778263200,1778522400,8,'good','');
INSERT INTO custody VALUES(13,3,44,17,1778263200,1778522400,8,'good','');
INSERT INTO custody VALUES(14,3,122,17,1778263200,1778522400,8,'good','');
INSERT INTO custody VALUES(15,4,1,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(16,4,41,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(17,4,46,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(18,4,48,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(19,4,59,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(20,4,139,6,1778263200,1779127200,8,'good','');
INSERT INTO custody VALUES(21,5,3,25,1778868000,1779040800,8,'good','');
INSERT INTO custody VALUES(22,5,47,25,1778868000,1779040800,8,'good','');
INSERT INTO custody VALUES(23,5,73,25,1778868000,1779040800,8,'good','');
INSERT INTO custody VALUES(24,5,118,25,1778868000,1779040800,8,'good','');
INSERT INTO custody VALUES(25,6,16,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(26,6,60,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(27,6,61,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(28,6,62,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(29,6,120,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(30,6,140,38,1778868000,1779127200,8,'good','');
INSERT INTO custody VALUES(31,7,15,2,1779472800,1779732000,8,'good','');
INSERT INTO custody VALUES(32,7,26,2,1779472800,1779732000,8,'good','');
INSERT INTO custody VALUES(33,7,31,2,1779472800,1779732000,8,'good','');
INSERT INTO custody VALUES(34,7,37,2,1779472800,1779732000,8,'good','');
INSERT INTO custody VALUES(35,7,42,2,1779472800,1779732000,8,'good','');
INSERT INTO custody VALUES(36,8,4,29,1779472800,1779818400,8,'good','');
INSERT INTO custody VALUES(37,8,28,29,1779472800,1779818400,8,'good','');
INSERT INTO custody VALUES(38,8,38,29,1779472800,1779818400,8,'good','');
INSERT INTO custody VALUES(39,8,40,29,1779472800,1779818400,8,'good','');
INSERT INTO custody VALUES(40,8,129,29,1779472800,1779818400,8,'good','');
INSERT INTO custody VALUES(41,9,19,33,1779472800,1780336800,8,'good','');
INSERT INTO custody VALUES(42,9,50,33,1779472800,1780336800,8,'good','');
INSERT INTO custody VALUES(43,9,75,33,1779472800,1780336800,8,'good','');
INSERT INTO custody VALUES(44,9,132,33,1779472800,1780336800,8,'good','');
INSERT INTO custody VALUES(45,10,10,14,1780077600,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(46,10,35,14,1780077600,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(47,10,49,14,1780077600,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(48,10,77,14,1780077600,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(49,11,20,8,1780077600,1780336800,8,'good','');
INSERT INTO custody VALUES(50,11,30,8,1780077600,1780336800,8,'good','');
INSERT INTO custody VALUES(51,11,34,8,1780077600,1780336800,8,'good','');
INSERT INTO custody VALUES(52,11,36,8,1780077600,1780336800,8,'good','');
INSERT INTO custody VALUES(53,12,1,36,1780336800,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(54,12,29,36,1780336800,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(55,12,37,36,1780336800,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(56,12,41,36,1780336800,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(57,12,117,36,1780336800,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(58,13,12,28,1780596000,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(59,13,33,28,1780596000,NULL,NULL,NULL,'');
INSERT INTO custody VALUES(60,13,44,28,1780596000,NULL,NULL,NULL,'');
CREATE TABLE lending_event (
    id             INTEGER PRIMARY KEY AUTOINCREMENT,
    reservation_id INTEGER NOT NULL REFERENCES reservation (id) ON DELETE CASCADE,
    at             INTEGER NOT NULL CONSTRAINT lending_event_at CHECK (at >= 0),
    -- The account of whoever did it; none where time or a table did.
    actor          INTEGER,
    kind           TEXT NOT NULL CONSTRAINT lending_event_kind CHECK (
        kind IN ('request', 'book', 'approve', 'decline', 'expire', 'change', 'cancel', 'prepare',
                 'hand_over', 'no_show', 'extend', 'return', 'missing', 'found', 'undo')
    ),
    -- A JSON list of item numbers.
    items          TEXT NOT NULL DEFAULT '[]'
        CONSTRAINT lending_event_items CHECK (json_valid(items)),
    first_night    TEXT,
    last_night     TEXT,
    from_state     TEXT,
    to_state       TEXT NOT NULL,
    reason         TEXT NOT NULL DEFAULT ''
        CONSTRAINT lending_event_reason CHECK (length(reason) <= 1000)
) STRICT;
INSERT INTO lending_event VALUES(1,1,1780657200,NULL,'book','[7,25,29,35,117]','2026-05-01','2026-05-03',NULL,'confirmed','');
INSERT INTO lending_event VALUES(2,2,1780657200,NULL,'book','[8,34,43,49]','2026-05-01','2026-05-03',NULL,'confirmed','');
INSERT INTO lending_event VALUES(3,3,1780657200,NULL,'book','[12,31,40,44,122]','2026-05-08','2026-05-10',NULL,'confirmed','');
INSERT INTO lending_event VALUES(4,4,1780657200,NULL,'book','[1,41,46,48,59,139]','2026-05-08','2026-05-17',NULL,'confirmed','');
INSERT INTO lending_event VALUES(5,5,1780657200,NULL,'book','[16,60,61,62,120,140]','2026-05-15','2026-05-17',NULL,'confirmed','');
INSERT INTO lending_event VALUES(6,6,1780657200,NULL,'book','[3,47,73,118]','2026-05-15','2026-05-16',NULL,'confirmed','');
INSERT INTO lending_event VALUES(7,7,1780657200,NULL,'book','[15,26,31,37,42]','2026-05-22','2026-05-24',NULL,'confirmed','');
INSERT INTO lending_event VALUES(8,8,1780657200,NULL,'book','[4,28,38,40,129]','2026-05-22','2026-05-25',NULL,'confirmed','');
INSERT INTO lending_event VALUES(9,9,1780657200,NULL,'book','[19,50,75,132]','2026-05-22','2026-05-31',NULL,'confirmed','');
INSERT INTO lending_event VALUES(10,10,1780657200,NULL,'book','[10,35,49,77]','2026-05-29','2026-05-31',NULL,'confirmed','');
INSERT INTO lending_event VALUES(11,11,1780657200,NULL,'book','[20,30,34,36]','2026-05-29','2026-05-31',NULL,'confirmed','');
INSERT INTO lending_event VALUES(12,12,1780657200,NULL,'book','[1,29,37,41,117]','2026-06-01','2026-06-07',NULL,'confirmed','');
INSERT INTO lending_event VALUES(13,13,1780657200,NULL,'book','[7,27,28,38,40]','2026-06-05','2026-06-07',NULL,'confirmed','');
INSERT INTO lending_event VALUES(14,14,1780657200,NULL,'book','[16,60,61,62,63,141]','2026-06-05','2026-06-06',NULL,'confirmed','');
INSERT INTO lending_event VALUES(15,15,1780657200,NULL,'book','[12,33,44]','2026-06-04','2026-06-08',NULL,'confirmed','');
INSERT INTO lending_event VALUES(16,16,1780657200,NULL,'book','[9,73,77]','2026-06-05','2026-06-05',NULL,'confirmed','');
INSERT INTO lending_event VALUES(17,17,1780657200,NULL,'book','[5,105,106,124]','2026-06-06','2026-06-07',NULL,'confirmed','');
INSERT INTO lending_event VALUES(18,18,1780657200,NULL,'book','[2,50,74,118]','2026-06-07','2026-06-11',NULL,'confirmed','');
INSERT INTO lending_event VALUES(19,19,1780657200,NULL,'book','[12,29,31,40,43]','2026-06-12','2026-06-14',NULL,'confirmed','');
INSERT INTO lending_event VALUES(20,20,1780657200,NULL,'book','[1,41,45,48,50]','2026-06-12','2026-06-14',NULL,'confirmed','');
INSERT INTO lending_event VALUES(21,21,1780657200,NULL,'book','[8,28,32,35,44]','2026-06-12','2026-06-13',NULL,'confirmed','');
INSERT INTO lending_event VALUES(22,22,1780657200,NULL,'book','[14,39,47,48,119]','2026-06-15','2026-06-21',NULL,'confirmed','');
INSERT INTO lending_event VALUES(23,23,1780657200,NULL,'book','[17,41,58,59,61,140]','2026-06-19','2026-06-21',NULL,'confirmed','');
INSERT INTO lending_event VALUES(24,24,1780657200,NULL,'book','[7,28,29,37,40]','2026-06-19','2026-06-21',NULL,'confirmed','');
INSERT INTO lending_event VALUES(25,25,1780657200,NULL,'book','[6,34,36,76]','2026-06-19','2026-06-28',NULL,'confirmed','');
INSERT INTO lending_event VALUES(26,26,1780657200,NULL,'book','[13,40,43,81]','2026-06-26','2026-06-28',NULL,'confirmed','');
INSERT INTO lending_event VALUES(27,27,1780657200,NULL,'book','[1,27,30,37,42,131]','2026-06-26','2026-06-28',NULL,'confirmed','');
INSERT INTO lending_event VALUES(28,28,1780657200,NULL,'book','[19,31,47,75,132]','2026-07-03','2026-07-05',NULL,'confirmed','');
INSERT INTO lending_event VALUES(29,29,1780657200,NULL,'book','[11,35,38,43]','2026-07-03','2026-07-12',NULL,'confirmed','');
INSERT INTO lending_event VALUES(30,30,1780657200,NULL,'book','[15,41,45,49,140]','2026-07-10','2026-07-12',NULL,'confirmed','');
INSERT INTO lending_event VALUES(31,1,1777658400,8,'hand_over','[7,25,29,35,117]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(32,1,1777917600,8,'return','[7,25,29,35,117]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(33,2,1777658400,8,'hand_over','[8,34,43,49]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(34,2,1777917600,8,'return','[8,34,43,49]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(35,3,1778263200,8,'hand_over','[12,31,40,44,122]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(36,3,1778522400,8,'return','[12,31,40,44,122]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(37,4,1778263200,8,'hand_over','[1,41,46,48,59,139]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(38,4,1779127200,8,'return','[1,41,46,48,59,139]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(39,6,1778868000,8,'hand_over','[3,47,73,118]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(40,6,1779040800,8,'return','[3,47,73,118]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(41,5,1778868000,8,'hand_over','[16,60,61,62,120,140]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(42,5,1779127200,8,'return','[16,60,61,62,120,140]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(43,7,1779472800,8,'hand_over','[15,26,31,37,42]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(44,7,1779732000,8,'return','[15,26,31,37,42]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(45,8,1779472800,8,'hand_over','[4,28,38,40,129]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(46,8,1779818400,8,'return','[4,28,38,40,129]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(47,9,1779472800,8,'hand_over','[19,50,75,132]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(48,9,1780336800,8,'return','[19,50,75,132]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(49,10,1780077600,8,'hand_over','[10,35,49,77]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(50,11,1780077600,8,'hand_over','[20,30,34,36]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(51,11,1780336800,8,'return','[20,30,34,36]',NULL,NULL,'out','closed','');
INSERT INTO lending_event VALUES(52,12,1780336800,8,'hand_over','[1,29,37,41,117]',NULL,NULL,'confirmed','out','');
INSERT INTO lending_event VALUES(53,15,1780596000,8,'hand_over','[12,33,44]',NULL,NULL,'confirmed','out','');
CREATE TABLE kept_answer (
    account_id   INTEGER NOT NULL,
    key          TEXT NOT NULL CONSTRAINT kept_answer_key CHECK (length(key) BETWEEN 1 AND 255),
    request_hash BLOB NOT NULL
        CONSTRAINT kept_answer_hash_is_whole CHECK (length(request_hash) = 32),
    status       INTEGER NOT NULL,
    answer       TEXT NOT NULL,
    created_at   INTEGER NOT NULL,
    PRIMARY KEY (account_id, key)
) STRICT, WITHOUT ROWID;
CREATE TABLE lending_rule (
    id                  INTEGER PRIMARY KEY CHECK (id = 1),
    longest_nights      INTEGER NOT NULL DEFAULT 31
        CONSTRAINT lending_rule_longest CHECK (longest_nights BETWEEN 1 AND 366),
    ahead_nights        INTEGER NOT NULL DEFAULT 366
        CONSTRAINT lending_rule_ahead CHECK (ahead_nights BETWEEN 1 AND 366),
    open_reservations   INTEGER
        CONSTRAINT lending_rule_open CHECK (open_reservations BETWEEN 1 AND 1000),
    items_at_once       INTEGER
        CONSTRAINT lending_rule_items CHECK (items_at_once BETWEEN 1 AND 1000),
    -- How long a filter's light test counts. Never more than a year.
    light_test_months   INTEGER NOT NULL DEFAULT 12
        CONSTRAINT lending_rule_light_test CHECK (light_test_months BETWEEN 1 AND 12),
    version             INTEGER NOT NULL DEFAULT 1
, telescopes_at_once INTEGER
    CONSTRAINT lending_rule_telescopes CHECK (telescopes_at_once BETWEEN 1 AND 1000), worth_at_once INTEGER
    CONSTRAINT lending_rule_worth CHECK (worth_at_once BETWEEN 1 AND 1000000), nights_in_a_year INTEGER
    CONSTRAINT lending_rule_nights CHECK (nights_in_a_year BETWEEN 1 AND 1000), kept_nights INTEGER
    CONSTRAINT lending_rule_kept CHECK (kept_nights BETWEEN 1 AND 366), outreach_percent INTEGER NOT NULL DEFAULT 0
    CONSTRAINT lending_rule_outreach CHECK (outreach_percent BETWEEN 0 AND 90)) STRICT;
INSERT INTO lending_rule VALUES(1,31,366,NULL,NULL,12,1,NULL,NULL,NULL,NULL,0);
CREATE TABLE item_rule (
    item_id           INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    needs_approval    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_approval CHECK (needs_approval IN (0, 1)),
    needs_training    INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_training CHECK (needs_training IN (0, 1)),
    -- Nights to look after it when it is back.
    turnaround_nights INTEGER NOT NULL DEFAULT 0
        CONSTRAINT item_rule_turnaround CHECK (turnaround_nights BETWEEN 0 AND 3)
, asks_age INTEGER NOT NULL DEFAULT 0
    CONSTRAINT item_rule_age CHECK (asks_age IN (0, 1))) STRICT;
INSERT INTO item_rule VALUES(17,1,1,1,0);
CREATE TABLE item_training (
    item_id    INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    member_id  INTEGER NOT NULL REFERENCES member (id) ON DELETE CASCADE,
    shown_on   TEXT NOT NULL
        CONSTRAINT item_training_day CHECK (length(shown_on) = 10 AND shown_on = date(shown_on)),
    PRIMARY KEY (item_id, member_id)
) STRICT, WITHOUT ROWID;
INSERT INTO item_training VALUES(17,38,'2026-04-26');
CREATE TABLE closed_night (
    night  TEXT PRIMARY KEY
        CONSTRAINT closed_night_is_a_date CHECK (length(night) = 10 AND night = date(night)),
    reason TEXT NOT NULL DEFAULT '' CONSTRAINT closed_night_reason CHECK (length(reason) <= 200)
) STRICT, WITHOUT ROWID;
INSERT INTO closed_night VALUES('2026-07-17','summer camp, everything goes along');
INSERT INTO closed_night VALUES('2026-07-18','summer camp, everything goes along');
INSERT INTO closed_night VALUES('2026-07-19','summer camp, everything goes along');
CREATE TABLE site (
    id             INTEGER PRIMARY KEY,
    name           TEXT NOT NULL UNIQUE CHECK (length(trim(name)) BETWEEN 1 AND 120),
    latitude_deg   REAL NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg  REAL NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    height_m       REAL NOT NULL CHECK (height_m BETWEEN -500 AND 9000),
    time_zone      TEXT NOT NULL CHECK (length(time_zone) BETWEEN 1 AND 64),
    -- V magnitudes per square arcsecond at the moonless zenith.
    sky_brightness REAL NOT NULL CHECK (sky_brightness BETWEEN 14 AND 22.5),
    is_main        INTEGER NOT NULL CHECK (is_main IN (0, 1))
, seeing_arcsec REAL CHECK (seeing_arcsec BETWEEN 0.2 AND 15), version INTEGER NOT NULL DEFAULT 1 CHECK (version >= 1)) STRICT;
INSERT INTO site VALUES(1,'Windmill Hill',52.310000000000002272,-2.1200000000000001065,110.0,'Europe/London',20.0,1,2.5,1);
INSERT INTO site VALUES(2,'Long Meadow',52.200000000000002843,-3.1000000000000000888,320.0,'Europe/London',21.600000000000001421,0,2.0,1);
CREATE TABLE inspection (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    day      TEXT NOT NULL
        CONSTRAINT inspection_day CHECK (length(day) = 10 AND day = date(day)),
    finding  TEXT NOT NULL
        CONSTRAINT inspection_finding CHECK (
            length(trim(finding)) > 0 AND length(finding) <= 1000
        ),
    state    TEXT NOT NULL
        CONSTRAINT inspection_state CHECK (
            state IN ('in_service', 'needs_inspection', 'in_repair', 'missing', 'retired')
        ),
    -- Seconds since 1970.
    noted_at INTEGER NOT NULL CONSTRAINT inspection_noted_at CHECK (noted_at >= 0),
    noted_by INTEGER REFERENCES account (id) ON DELETE SET NULL
) STRICT;
INSERT INTO inspection VALUES(1,134,'2026-05-27','Pinholes near the rim. Not for the Sun any more.','needs_inspection',1780657200,NULL);
INSERT INTO inspection VALUES(2,149,'2026-05-20','The prism rattles when it is shaken.','needs_inspection',1780657200,NULL);
INSERT INTO inspection VALUES(3,155,'2026-04-26','One cell is swollen. Not to be charged.','in_repair',1780657200,NULL);
INSERT INTO inspection VALUES(4,1,'2026-05-16','Bearing pads replaced, moves smoothly again.','in_service',1780657200,NULL);
INSERT INTO inspection VALUES(5,35,'2026-05-03','Cleaned; a small scratch near the edge does not show.','in_service',1780657200,NULL);
CREATE TABLE upkeep (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id      INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    what         TEXT NOT NULL
        CONSTRAINT upkeep_what CHECK (length(trim(what)) > 0 AND length(what) <= 120),
    every_months INTEGER CONSTRAINT upkeep_months CHECK (every_months BETWEEN 1 AND 120),
    every_loans  INTEGER CONSTRAINT upkeep_loans CHECK (every_loans BETWEEN 1 AND 1000),
    last_done    TEXT NOT NULL
        CONSTRAINT upkeep_last_done CHECK (length(last_done) = 10 AND last_done = date(last_done)),
    CONSTRAINT upkeep_comes_round CHECK (every_months IS NOT NULL OR every_loans IS NOT NULL)
) STRICT;
INSERT INTO upkeep VALUES(1,1,'Collimate it',NULL,5,'2026-05-16');
INSERT INTO upkeep VALUES(2,15,'Collimate it',3,5,'2026-02-25');
INSERT INTO upkeep VALUES(3,16,'Clean the main mirror',24,NULL,'2025-05-01');
INSERT INTO upkeep VALUES(4,17,'Check the wheels and the brake',6,NULL,'2026-02-05');
INSERT INTO upkeep VALUES(5,153,'Charge it',1,NULL,'2026-05-24');
INSERT INTO upkeep VALUES(6,154,'Charge it',1,NULL,'2026-04-21');
CREATE TABLE accessory (
    item_id       INTEGER PRIMARY KEY,
    item_kind     TEXT NOT NULL DEFAULT 'accessory'
        CONSTRAINT accessory_item_kind CHECK (item_kind = 'accessory'),
    kind          TEXT NOT NULL
        CONSTRAINT accessory_kind CHECK (
            kind IN ('diagonal', 'coma_corrector', 'power_pack', 'case', 'finder', 'other')
        ),
    barrel_mm     REAL
        CONSTRAINT accessory_barrel CHECK (barrel_mm IN (24.5, 31.75, 50.8)),
    -- How far the light travels inside it, which the focuser has to give.
    light_path_mm REAL
        CONSTRAINT accessory_light_path CHECK (light_path_mm BETWEEN 1 AND 500),
    -- Of a coma corrector: how many times it lengthens the focal length.
    factor        REAL
        CONSTRAINT accessory_factor CHECK (factor BETWEEN 0.5 AND 2),
    -- Of a power pack.
    capacity_wh   REAL
        CONSTRAINT accessory_capacity CHECK (capacity_wh BETWEEN 1 AND 5000),
    CONSTRAINT accessory_factor_of_what CHECK (factor IS NULL OR kind = 'coma_corrector'),
    CONSTRAINT accessory_capacity_of_what CHECK (capacity_wh IS NULL OR kind = 'power_pack'),
    FOREIGN KEY (item_id, item_kind) REFERENCES item (id, kind) ON DELETE CASCADE
) STRICT;
INSERT INTO accessory VALUES(147,'accessory','diagonal',50.799999999999997158,112.0,NULL,NULL);
INSERT INTO accessory VALUES(148,'accessory','diagonal',31.749999999999999999,68.0,NULL,NULL);
INSERT INTO accessory VALUES(149,'accessory','diagonal',31.749999999999999999,68.0,NULL,NULL);
INSERT INTO accessory VALUES(150,'accessory','diagonal',31.749999999999999999,94.0,NULL,NULL);
INSERT INTO accessory VALUES(151,'accessory','coma_corrector',50.799999999999997158,NULL,1.1499999999999999111,NULL);
INSERT INTO accessory VALUES(152,'accessory','coma_corrector',50.799999999999997158,NULL,1.0,NULL);
INSERT INTO accessory VALUES(153,'accessory','power_pack',NULL,NULL,NULL,84.0);
INSERT INTO accessory VALUES(154,'accessory','power_pack',NULL,NULL,NULL,84.0);
INSERT INTO accessory VALUES(155,'accessory','power_pack',NULL,NULL,NULL,240.0);
INSERT INTO accessory VALUES(156,'accessory','case',NULL,NULL,NULL,NULL);
INSERT INTO accessory VALUES(157,'accessory','other',NULL,NULL,NULL,NULL);
INSERT INTO accessory VALUES(158,'accessory','finder',NULL,NULL,NULL,NULL);
INSERT INTO accessory VALUES(159,'accessory','finder',NULL,NULL,NULL,NULL);
INSERT INTO accessory VALUES(160,'accessory','other',NULL,NULL,NULL,NULL);
INSERT INTO accessory VALUES(161,'accessory','other',NULL,NULL,NULL,NULL);
CREATE TABLE item_paper (
    item_id      INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    -- A member who lends it to the club; none where it is the club's own.
    owner_id     INTEGER REFERENCES member (id),
    donor        TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_donor CHECK (length(donor) <= 120),
    serial       TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_serial CHECK (length(serial) <= 60),
    bought_on    TEXT
        CONSTRAINT item_paper_bought_on CHECK (length(bought_on) = 10 AND bought_on = date(bought_on)),
    -- Hundredths of whatever the club counts in.
    value_cents  INTEGER
        CONSTRAINT item_paper_value CHECK (value_cents BETWEEN 0 AND 100000000),
    place        TEXT NOT NULL DEFAULT ''
        CONSTRAINT item_paper_place CHECK (length(place) <= 120),
    -- Who keeps it at home.
    custodian_id INTEGER REFERENCES member (id)
) STRICT;
INSERT INTO item_paper VALUES(1,NULL,'','',NULL,48000,'Back wall, floor',NULL);
INSERT INTO item_paper VALUES(4,NULL,'','',NULL,39000,'Cupboard 1, top',NULL);
INSERT INTO item_paper VALUES(7,NULL,'','',NULL,52000,'Cupboard 1, middle',NULL);
INSERT INTO item_paper VALUES(9,NULL,'','',NULL,41000,'Cupboard 2, top',NULL);
INSERT INTO item_paper VALUES(12,NULL,'','',NULL,135000,'Trolley',NULL);
INSERT INTO item_paper VALUES(13,3,'','',NULL,210000,'Trolley',NULL);
INSERT INTO item_paper VALUES(15,NULL,'','',NULL,56000,'Back wall, floor',NULL);
INSERT INTO item_paper VALUES(17,1,'','',NULL,240000,'Mill, ground floor',NULL);
INSERT INTO item_paper VALUES(24,NULL,'','',NULL,8500,'Case A, row 1',NULL);
INSERT INTO item_paper VALUES(35,NULL,'','',NULL,14000,'Case A, row 2',NULL);
INSERT INTO item_paper VALUES(54,NULL,'','',NULL,23000,'Case B, row 1',NULL);
INSERT INTO item_paper VALUES(64,3,'','',NULL,39050,'Case B, row 3',NULL);
INSERT INTO item_paper VALUES(117,NULL,'','',NULL,4500,'Case A, lid',NULL);
INSERT INTO item_paper VALUES(129,NULL,'','',NULL,9500,'With the Heron',NULL);
INSERT INTO item_paper VALUES(151,NULL,'','',NULL,21000,'Case C',NULL);
INSERT INTO item_paper VALUES(153,NULL,'','',NULL,12000,'Charging shelf',NULL);
CREATE TABLE set_part (
    telescope_id INTEGER NOT NULL REFERENCES telescope (item_id) ON DELETE CASCADE,
    position     INTEGER NOT NULL CONSTRAINT set_part_position CHECK (position BETWEEN 1 AND 40),
    what         TEXT NOT NULL
        CONSTRAINT set_part_what CHECK (length(trim(what)) > 0 AND length(what) <= 120),
    PRIMARY KEY (telescope_id, position)
) STRICT, WITHOUT ROWID;
INSERT INTO set_part VALUES(1,1,'Rocker box');
INSERT INTO set_part VALUES(1,2,'Straight finder');
INSERT INTO set_part VALUES(1,3,'Dust cap');
INSERT INTO set_part VALUES(1,4,'Collimation cap');
INSERT INTO set_part VALUES(4,1,'Tripod');
INSERT INTO set_part VALUES(4,2,'Red-dot finder');
INSERT INTO set_part VALUES(4,3,'Mirror diagonal');
INSERT INTO set_part VALUES(4,4,'Dust cap');
INSERT INTO set_part VALUES(7,1,'Tripod');
INSERT INTO set_part VALUES(7,2,'Finder, capped by day');
INSERT INTO set_part VALUES(7,3,'Dust cap');
INSERT INTO set_part VALUES(15,1,'Rocker box');
INSERT INTO set_part VALUES(15,2,'Straight finder');
INSERT INTO set_part VALUES(15,3,'Mirror cover');
INSERT INTO set_part VALUES(15,4,'Collimation tool');
INSERT INTO set_part VALUES(15,5,'Shroud');
CREATE TABLE stock_count (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    -- Seconds since 1970.
    started_at  INTEGER NOT NULL CONSTRAINT stock_count_started CHECK (started_at >= 0),
    started_by  INTEGER REFERENCES account (id) ON DELETE SET NULL,
    ended_at    INTEGER,
    ended_by    INTEGER REFERENCES account (id) ON DELETE SET NULL,
    -- The name of whoever answers for it.
    signed_name TEXT CONSTRAINT stock_count_signed CHECK (length(signed_name) BETWEEN 1 AND 120),
    CONSTRAINT stock_count_ends_after_it_begins CHECK (ended_at >= started_at),
    CONSTRAINT stock_count_is_signed CHECK ((ended_at IS NULL) = (signed_name IS NULL))
) STRICT;
INSERT INTO stock_count VALUES(1,1780657200,NULL,1780657200,NULL,'Ottilie Marchbanks');
CREATE TABLE stock_seen (
    count_id INTEGER NOT NULL REFERENCES stock_count (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    seen_at  INTEGER NOT NULL,
    seen_by  INTEGER REFERENCES account (id) ON DELETE SET NULL,
    PRIMARY KEY (count_id, item_id)
) STRICT, WITHOUT ROWID;
INSERT INTO stock_seen VALUES(1,1,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,2,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,3,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,4,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,5,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,6,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,7,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,8,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,9,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,10,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,11,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,12,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,13,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,14,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,15,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,16,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,17,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,18,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,19,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,20,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,21,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,22,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,23,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,24,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,25,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,26,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,27,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,28,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,29,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,30,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,31,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,32,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,33,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,34,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,35,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,36,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,37,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,38,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,39,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,40,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,41,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,42,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,43,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,44,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,46,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,47,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,48,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,49,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,50,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,51,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,52,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,53,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,54,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,55,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,56,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,57,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,58,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,59,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,60,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,61,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,62,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,63,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,64,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,65,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,66,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,67,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,68,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,69,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,70,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,71,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,72,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,73,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,74,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,75,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,76,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,77,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,78,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,79,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,80,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,81,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,82,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,83,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,84,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,85,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,86,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,87,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,88,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,89,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,90,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,91,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,92,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,93,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,94,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,95,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,96,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,97,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,98,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,99,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,100,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,101,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,102,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,103,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,104,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,105,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,106,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,107,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,108,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,109,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,110,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,111,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,112,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,113,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,114,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,117,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,118,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,119,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,120,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,121,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,122,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,123,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,124,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,125,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,126,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,127,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,128,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,129,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,130,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,131,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,132,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,133,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,134,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,135,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,136,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,137,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,138,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,139,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,140,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,141,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,142,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,143,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,145,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,146,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,147,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,148,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,149,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,150,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,151,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,152,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,153,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,154,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,155,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,156,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,157,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,158,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,159,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,160,1780657200,NULL);
INSERT INTO stock_seen VALUES(1,161,1780657200,NULL);
CREATE TABLE stock_line (
    count_id INTEGER NOT NULL REFERENCES stock_count (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    outcome  TEXT NOT NULL
        CONSTRAINT stock_line_outcome CHECK (
            outcome IN ('there', 'turned_up', 'out', 'in_repair', 'not_found')
        ),
    PRIMARY KEY (count_id, item_id)
) STRICT, WITHOUT ROWID;
INSERT INTO stock_line VALUES(1,1,'there');
INSERT INTO stock_line VALUES(1,2,'there');
INSERT INTO stock_line VALUES(1,3,'there');
INSERT INTO stock_line VALUES(1,4,'there');
INSERT INTO stock_line VALUES(1,5,'there');
INSERT INTO stock_line VALUES(1,6,'there');
INSERT INTO stock_line VALUES(1,7,'there');
INSERT INTO stock_line VALUES(1,8,'there');
INSERT INTO stock_line VALUES(1,9,'there');
INSERT INTO stock_line VALUES(1,10,'there');
INSERT INTO stock_line VALUES(1,11,'there');
INSERT INTO stock_line VALUES(1,12,'there');
INSERT INTO stock_line VALUES(1,13,'there');
INSERT INTO stock_line VALUES(1,14,'there');
INSERT INTO stock_line VALUES(1,15,'there');
INSERT INTO stock_line VALUES(1,16,'there');
INSERT INTO stock_line VALUES(1,17,'there');
INSERT INTO stock_line VALUES(1,18,'there');
INSERT INTO stock_line VALUES(1,19,'there');
INSERT INTO stock_line VALUES(1,20,'there');
INSERT INTO stock_line VALUES(1,21,'there');
INSERT INTO stock_line VALUES(1,22,'there');
INSERT INTO stock_line VALUES(1,23,'there');
INSERT INTO stock_line VALUES(1,24,'there');
INSERT INTO stock_line VALUES(1,25,'there');
INSERT INTO stock_line VALUES(1,26,'there');
INSERT INTO stock_line VALUES(1,27,'there');
INSERT INTO stock_line VALUES(1,28,'there');
INSERT INTO stock_line VALUES(1,29,'there');
INSERT INTO stock_line VALUES(1,30,'there');
INSERT INTO stock_line VALUES(1,31,'there');
INSERT INTO stock_line VALUES(1,32,'there');
INSERT INTO stock_line VALUES(1,33,'there');
INSERT INTO stock_line VALUES(1,34,'there');
INSERT INTO stock_line VALUES(1,35,'there');
INSERT INTO stock_line VALUES(1,36,'there');
INSERT INTO stock_line VALUES(1,37,'there');
INSERT INTO stock_line VALUES(1,38,'there');
INSERT INTO stock_line VALUES(1,39,'there');
INSERT INTO stock_line VALUES(1,40,'there');
INSERT INTO stock_line VALUES(1,41,'there');
INSERT INTO stock_line VALUES(1,42,'there');
INSERT INTO stock_line VALUES(1,43,'there');
INSERT INTO stock_line VALUES(1,44,'there');
INSERT INTO stock_line VALUES(1,45,'not_found');
INSERT INTO stock_line VALUES(1,46,'there');
INSERT INTO stock_line VALUES(1,47,'there');
INSERT INTO stock_line VALUES(1,48,'there');
INSERT INTO stock_line VALUES(1,49,'there');
INSERT INTO stock_line VALUES(1,50,'there');
INSERT INTO stock_line VALUES(1,51,'there');
INSERT INTO stock_line VALUES(1,52,'there');
INSERT INTO stock_line VALUES(1,53,'there');
INSERT INTO stock_line VALUES(1,54,'there');
INSERT INTO stock_line VALUES(1,55,'there');
INSERT INTO stock_line VALUES(1,56,'there');
INSERT INTO stock_line VALUES(1,57,'there');
INSERT INTO stock_line VALUES(1,58,'there');
INSERT INTO stock_line VALUES(1,59,'there');
INSERT INTO stock_line VALUES(1,60,'there');
INSERT INTO stock_line VALUES(1,61,'there');
INSERT INTO stock_line VALUES(1,62,'there');
INSERT INTO stock_line VALUES(1,63,'there');
INSERT INTO stock_line VALUES(1,64,'there');
INSERT INTO stock_line VALUES(1,65,'there');
INSERT INTO stock_line VALUES(1,66,'there');
INSERT INTO stock_line VALUES(1,67,'there');
INSERT INTO stock_line VALUES(1,68,'there');
INSERT INTO stock_line VALUES(1,69,'there');
INSERT INTO stock_line VALUES(1,70,'there');
INSERT INTO stock_line VALUES(1,71,'there');
INSERT INTO stock_line VALUES(1,72,'there');
INSERT INTO stock_line VALUES(1,73,'there');
INSERT INTO stock_line VALUES(1,74,'there');
INSERT INTO stock_line VALUES(1,75,'there');
INSERT INTO stock_line VALUES(1,76,'there');
INSERT INTO stock_line VALUES(1,77,'there');
INSERT INTO stock_line VALUES(1,78,'there');
INSERT INTO stock_line VALUES(1,79,'there');
INSERT INTO stock_line VALUES(1,80,'there');
INSERT INTO stock_line VALUES(1,81,'there');
INSERT INTO stock_line VALUES(1,82,'there');
INSERT INTO stock_line VALUES(1,83,'there');
INSERT INTO stock_line VALUES(1,84,'there');
INSERT INTO stock_line VALUES(1,85,'there');
INSERT INTO stock_line VALUES(1,86,'there');
INSERT INTO stock_line VALUES(1,87,'there');
INSERT INTO stock_line VALUES(1,88,'there');
INSERT INTO stock_line VALUES(1,89,'there');
INSERT INTO stock_line VALUES(1,90,'there');
INSERT INTO stock_line VALUES(1,91,'there');
INSERT INTO stock_line VALUES(1,92,'there');
INSERT INTO stock_line VALUES(1,93,'there');
INSERT INTO stock_line VALUES(1,94,'there');
INSERT INTO stock_line VALUES(1,95,'there');
INSERT INTO stock_line VALUES(1,96,'there');
INSERT INTO stock_line VALUES(1,97,'there');
INSERT INTO stock_line VALUES(1,98,'there');
INSERT INTO stock_line VALUES(1,99,'there');
INSERT INTO stock_line VALUES(1,100,'there');
INSERT INTO stock_line VALUES(1,101,'there');
INSERT INTO stock_line VALUES(1,102,'there');
INSERT INTO stock_line VALUES(1,103,'there');
INSERT INTO stock_line VALUES(1,104,'there');
INSERT INTO stock_line VALUES(1,105,'there');
INSERT INTO stock_line VALUES(1,106,'there');
INSERT INTO stock_line VALUES(1,107,'there');
INSERT INTO stock_line VALUES(1,108,'there');
INSERT INTO stock_line VALUES(1,109,'there');
INSERT INTO stock_line VALUES(1,110,'there');
INSERT INTO stock_line VALUES(1,111,'there');
INSERT INTO stock_line VALUES(1,112,'there');
INSERT INTO stock_line VALUES(1,113,'there');
INSERT INTO stock_line VALUES(1,114,'there');
INSERT INTO stock_line VALUES(1,115,'not_found');
INSERT INTO stock_line VALUES(1,117,'there');
INSERT INTO stock_line VALUES(1,118,'there');
INSERT INTO stock_line VALUES(1,119,'there');
INSERT INTO stock_line VALUES(1,120,'there');
INSERT INTO stock_line VALUES(1,121,'there');
INSERT INTO stock_line VALUES(1,122,'there');
INSERT INTO stock_line VALUES(1,123,'there');
INSERT INTO stock_line VALUES(1,124,'there');
INSERT INTO stock_line VALUES(1,125,'there');
INSERT INTO stock_line VALUES(1,126,'there');
INSERT INTO stock_line VALUES(1,127,'there');
INSERT INTO stock_line VALUES(1,128,'there');
INSERT INTO stock_line VALUES(1,129,'there');
INSERT INTO stock_line VALUES(1,130,'there');
INSERT INTO stock_line VALUES(1,131,'there');
INSERT INTO stock_line VALUES(1,132,'there');
INSERT INTO stock_line VALUES(1,133,'there');
INSERT INTO stock_line VALUES(1,134,'there');
INSERT INTO stock_line VALUES(1,135,'there');
INSERT INTO stock_line VALUES(1,136,'there');
INSERT INTO stock_line VALUES(1,137,'there');
INSERT INTO stock_line VALUES(1,138,'there');
INSERT INTO stock_line VALUES(1,139,'there');
INSERT INTO stock_line VALUES(1,140,'there');
INSERT INTO stock_line VALUES(1,141,'there');
INSERT INTO stock_line VALUES(1,142,'there');
INSERT INTO stock_line VALUES(1,143,'there');
INSERT INTO stock_line VALUES(1,144,'in_repair');
INSERT INTO stock_line VALUES(1,145,'there');
INSERT INTO stock_line VALUES(1,146,'there');
INSERT INTO stock_line VALUES(1,147,'there');
INSERT INTO stock_line VALUES(1,148,'there');
INSERT INTO stock_line VALUES(1,149,'there');
INSERT INTO stock_line VALUES(1,150,'there');
INSERT INTO stock_line VALUES(1,151,'there');
INSERT INTO stock_line VALUES(1,152,'there');
INSERT INTO stock_line VALUES(1,153,'there');
INSERT INTO stock_line VALUES(1,154,'there');
INSERT INTO stock_line VALUES(1,155,'there');
INSERT INTO stock_line VALUES(1,156,'there');
INSERT INTO stock_line VALUES(1,157,'there');
INSERT INTO stock_line VALUES(1,158,'there');
INSERT INTO stock_line VALUES(1,159,'there');
INSERT INTO stock_line VALUES(1,160,'there');
INSERT INTO stock_line VALUES(1,161,'there');
CREATE TABLE photo (
    -- Never used again, so that what browsers keep under an address stays true.
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    item_id       INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    occasion      TEXT NOT NULL
        CONSTRAINT photo_occasion CHECK (occasion IN ('shelf', 'inspection', 'return')),
    -- The inspection it was taken at.
    inspection_id INTEGER REFERENCES inspection (id) ON DELETE SET NULL,
    width_px      INTEGER NOT NULL CONSTRAINT photo_width CHECK (width_px BETWEEN 1 AND 1600),
    height_px     INTEGER NOT NULL CONSTRAINT photo_height CHECK (height_px BETWEEN 1 AND 1600),
    -- SHA-256 of the large one's bytes.
    digest        BLOB NOT NULL CONSTRAINT photo_digest CHECK (length(digest) = 32),
    -- Seconds since 1970.
    added_at      INTEGER NOT NULL CONSTRAINT photo_added CHECK (added_at >= 0),
    added_by      INTEGER REFERENCES account (id) ON DELETE SET NULL,
    CONSTRAINT photo_of_an_inspection CHECK (inspection_id IS NULL OR occasion = 'inspection')
) STRICT;
CREATE TABLE photo_file (
    photo_id INTEGER NOT NULL REFERENCES photo (id) ON DELETE CASCADE,
    size     TEXT NOT NULL CONSTRAINT photo_file_size CHECK (size IN ('large', 'small')),
    bytes    BLOB NOT NULL CONSTRAINT photo_file_bytes CHECK (length(bytes) BETWEEN 1 AND 4000000),
    PRIMARY KEY (photo_id, size)
) STRICT;
CREATE TABLE club_block (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    reason     TEXT NOT NULL
        CONSTRAINT club_block_reason CHECK (length(reason) BETWEEN 1 AND 200),
    created_at INTEGER NOT NULL CONSTRAINT club_block_created_at CHECK (created_at >= 0)
) STRICT;
INSERT INTO club_block VALUES(1,'evening at the village library',1780657200);
CREATE TABLE calendar_feed (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    account_id   INTEGER NOT NULL REFERENCES account (id),
    kind         TEXT NOT NULL CONSTRAINT calendar_feed_kind CHECK (kind IN ('mine', 'club')),
    secret_hash  BLOB NOT NULL UNIQUE
        CONSTRAINT calendar_feed_hash_is_whole CHECK (length(secret_hash) = 32),
    created_at   INTEGER NOT NULL CONSTRAINT calendar_feed_created_at CHECK (created_at >= 0),
    last_used_on TEXT,
    UNIQUE (account_id, kind)
) STRICT;
CREATE TABLE wait_place (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    member_id     INTEGER NOT NULL REFERENCES member (id),
    -- Any piece of this kind; none where the pieces are named.
    kind          TEXT CONSTRAINT wait_place_kind CHECK (
        kind IN ('telescope', 'eyepiece', 'barlow', 'filter')
    ),
    first_night   TEXT NOT NULL CONSTRAINT wait_place_first_night CHECK (
        length(first_night) = 10 AND first_night = date(first_night)
    ),
    last_night    TEXT NOT NULL CONSTRAINT wait_place_last_night CHECK (
        length(last_night) = 10 AND last_night = date(last_night)
    ),
    daylight      INTEGER NOT NULL DEFAULT 0
        CONSTRAINT wait_place_daylight CHECK (daylight IN (0, 1)),
    state         TEXT NOT NULL DEFAULT 'waiting' CONSTRAINT wait_place_state CHECK (
        state IN ('waiting', 'offered', 'taken', 'declined', 'expired', 'withdrawn')
    ),
    asked_at      INTEGER NOT NULL CONSTRAINT wait_place_asked_at CHECK (asked_at >= 0),
    -- Until when an offer holds, in seconds since 1970.
    offered_until INTEGER,
    CONSTRAINT wait_place_nights CHECK (
        julianday(last_night) - julianday(first_night) BETWEEN 0 AND 365
    ),
    CONSTRAINT wait_place_offer_ends CHECK ((state = 'offered') = (offered_until IS NOT NULL))
) STRICT;
INSERT INTO wait_place VALUES(1,30,NULL,'2026-06-12','2026-06-14',0,'waiting',1780657200,NULL);
INSERT INTO wait_place VALUES(2,9,NULL,'2026-06-19','2026-06-21',0,'offered',1780657200,1780743600);
CREATE TABLE wait_place_item (
    place_id INTEGER NOT NULL REFERENCES wait_place (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    PRIMARY KEY (place_id, item_id)
) STRICT, WITHOUT ROWID;
INSERT INTO wait_place_item VALUES(1,1);
INSERT INTO wait_place_item VALUES(2,18);
CREATE TABLE signature (
    reservation_id   INTEGER PRIMARY KEY REFERENCES reservation (id) ON DELETE CASCADE,
    name             TEXT NOT NULL
        CONSTRAINT signature_name CHECK (length(name) BETWEEN 1 AND 120),
    guardian         TEXT CONSTRAINT signature_guardian CHECK (length(guardian) BETWEEN 1 AND 120),
    -- The lines drawn, as a path of whole numbers in a box of 600 by 200; empty where a name was
    -- typed only.
    strokes          TEXT NOT NULL DEFAULT ''
        CONSTRAINT signature_strokes CHECK (
            length(strokes) <= 20000 AND NOT strokes GLOB '*[^ML0-9 ]*'
        ),
    -- desk: before whoever handed over. link: alone, on a page of their own.
    way              TEXT NOT NULL CONSTRAINT signature_way CHECK (way IN ('desk', 'link')),
    items            TEXT NOT NULL CONSTRAINT signature_items CHECK (json_valid(items)),
    cautions_version INTEGER NOT NULL CONSTRAINT signature_cautions CHECK (cautions_version >= 1),
    signed_at        INTEGER NOT NULL CONSTRAINT signature_signed_at CHECK (signed_at >= 0)
) STRICT;
INSERT INTO signature VALUES(1,'signed on paper',NULL,'','desk','[7,25,29,35,117]',1,1777658400);
INSERT INTO signature VALUES(2,'signed on paper',NULL,'','desk','[8,34,43,49]',1,1777658400);
INSERT INTO signature VALUES(3,'signed on paper',NULL,'','desk','[12,31,40,44,122]',1,1778263200);
INSERT INTO signature VALUES(4,'signed on paper',NULL,'','desk','[1,41,46,48,59,139]',1,1778263200);
INSERT INTO signature VALUES(5,'signed on paper',NULL,'','desk','[16,60,61,62,120,140]',1,1778868000);
INSERT INTO signature VALUES(6,'signed on paper',NULL,'','desk','[3,47,73,118]',1,1778868000);
INSERT INTO signature VALUES(7,'signed on paper',NULL,'','desk','[15,26,31,37,42]',1,1779472800);
INSERT INTO signature VALUES(8,'signed on paper',NULL,'','desk','[4,28,38,40,129]',1,1779472800);
INSERT INTO signature VALUES(9,'signed on paper',NULL,'','desk','[19,50,75,132]',1,1779472800);
INSERT INTO signature VALUES(10,'signed on paper',NULL,'','desk','[10,35,49,77]',1,1780077600);
INSERT INTO signature VALUES(11,'signed on paper',NULL,'','desk','[20,30,34,36]',1,1780077600);
INSERT INTO signature VALUES(12,'signed on paper',NULL,'','desk','[1,29,37,41,117]',1,1780336800);
INSERT INTO signature VALUES(15,'signed on paper',NULL,'','desk','[12,33,44]',1,1780596000);
CREATE TABLE site_horizon (
    site_id      INTEGER NOT NULL REFERENCES site (id) ON DELETE CASCADE,
    azimuth_deg  INTEGER NOT NULL CHECK (azimuth_deg IN (0, 45, 90, 135, 180, 225, 270, 315)),
    altitude_deg REAL NOT NULL CHECK (altitude_deg BETWEEN 0 AND 80),
    PRIMARY KEY (site_id, azimuth_deg)
) STRICT, WITHOUT ROWID;
INSERT INTO site_horizon VALUES(1,0,2.0);
INSERT INTO site_horizon VALUES(1,45,9.0);
INSERT INTO site_horizon VALUES(1,90,6.0);
INSERT INTO site_horizon VALUES(1,135,3.0);
INSERT INTO site_horizon VALUES(1,180,2.0);
INSERT INTO site_horizon VALUES(1,225,4.0);
INSERT INTO site_horizon VALUES(1,270,14.0);
INSERT INTO site_horizon VALUES(1,315,5.0);
INSERT INTO site_horizon VALUES(2,0,24.0);
INSERT INTO site_horizon VALUES(2,45,18.0);
INSERT INTO site_horizon VALUES(2,90,4.0);
INSERT INTO site_horizon VALUES(2,135,3.0);
INSERT INTO site_horizon VALUES(2,180,3.0);
INSERT INTO site_horizon VALUES(2,225,4.0);
INSERT INTO site_horizon VALUES(2,270,6.0);
INSERT INTO site_horizon VALUES(2,315,20.0);
CREATE TABLE public_night (
    id             INTEGER PRIMARY KEY AUTOINCREMENT,
    name           TEXT NOT NULL CONSTRAINT public_night_name CHECK (length(name) BETWEEN 1 AND 120),
    on_date        TEXT NOT NULL CONSTRAINT public_night_on_date CHECK (
        length(on_date) = 10 AND on_date = date(on_date)
    ),
    -- Wall clock of the site; an end at or before the start is on the next day.
    starts         TEXT NOT NULL CONSTRAINT public_night_starts CHECK (
        length(starts) = 5 AND starts = strftime('%H:%M', starts)
    ),
    ends           TEXT NOT NULL CONSTRAINT public_night_ends CHECK (
        length(ends) = 5 AND ends = strftime('%H:%M', ends)
    ),
    -- Without a site nobody knows where the Sun stands, and the night counts as in daylight.
    site_id        INTEGER REFERENCES site (id) ON DELETE SET NULL,
    setting        TEXT NOT NULL CONSTRAINT public_night_setting CHECK (setting IN ('outdoors', 'indoors')),
    kind           TEXT NOT NULL CONSTRAINT public_night_kind CHECK (kind IN ('evening', 'solar')),
    visitors       INTEGER NOT NULL CONSTRAINT public_night_visitors CHECK (visitors BETWEEN 0 AND 5000),
    children       INTEGER NOT NULL CONSTRAINT public_night_children CHECK (children BETWEEN 0 AND visitors),
    wheelchairs    INTEGER NOT NULL CONSTRAINT public_night_wheelchairs CHECK (
        wheelchairs BETWEEN 0 AND visitors
    ),
    stations       INTEGER NOT NULL CONSTRAINT public_night_stations CHECK (stations BETWEEN 1 AND 12),
    power          TEXT NOT NULL CONSTRAINT public_night_power CHECK (power IN ('none', 'packs', 'mains')),
    lighting       TEXT NOT NULL CONSTRAINT public_night_lighting CHECK (
        lighting IN ('dark', 'dimmed', 'lit')
    ),
    rain_date      TEXT CONSTRAINT public_night_rain_date CHECK (
        length(rain_date) = 10 AND rain_date = date(rain_date)
    ),
    notes          TEXT NOT NULL DEFAULT '',
    state          TEXT NOT NULL DEFAULT 'draft' CONSTRAINT public_night_state CHECK (
        state IN ('draft', 'announced', 'cancelled', 'held')
    ),
    -- The part of the public address that opens it; none while there is no public page.
    slug           TEXT UNIQUE,
    reservation_id INTEGER REFERENCES reservation (id),
    -- What the planner said of the whole, a list of sentences.
    told           TEXT NOT NULL DEFAULT '[]' CONSTRAINT public_night_told CHECK (json_valid(told)),
    version        INTEGER NOT NULL DEFAULT 1 CONSTRAINT public_night_version CHECK (version >= 1),
    created_at     INTEGER NOT NULL CONSTRAINT public_night_created_at CHECK (created_at >= 0)
) STRICT;
INSERT INTO public_night VALUES(1,'Moon over the school','2026-11-20','18:00','20:30',1,'outdoors','evening',90,60,1,4,'none','dimmed','2026-11-27','The caretaker switches the yard''s lamps off at six.','announced',NULL,NULL,'[]',2,1780657200);
INSERT INTO public_night VALUES(2,'A dark field in August','2026-08-14','22:30','01:00',2,'outdoors','evening',45,8,0,4,'none','dark','2026-08-21','Cars park at the gate; nobody drives across the field.','announced',NULL,NULL,'[]',2,1780657200);
INSERT INTO public_night VALUES(3,'The Sun on the green','2026-06-20','11:00','14:00',1,'outdoors','solar',120,50,2,2,'none','lit','2026-06-27','Beside the tea tent.','announced',NULL,NULL,'[]',2,1780657200);
CREATE TABLE public_night_helper (
    night_id   INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number     INTEGER NOT NULL CONSTRAINT public_night_helper_number CHECK (number BETWEEN 1 AND 99),
    -- A member, or a first name and nothing else.
    member_id  INTEGER REFERENCES member (id),
    first_name TEXT NOT NULL DEFAULT '' CONSTRAINT public_night_helper_first_name CHECK (
        length(first_name) <= 40
    ),
    PRIMARY KEY (night_id, number),
    CONSTRAINT public_night_helper_somebody CHECK ((member_id IS NULL) = (first_name <> ''))
) STRICT, WITHOUT ROWID;
INSERT INTO public_night_helper VALUES(1,1,NULL,'Wren');
INSERT INTO public_night_helper VALUES(1,2,NULL,'Tove');
INSERT INTO public_night_helper VALUES(1,3,NULL,'Idris');
INSERT INTO public_night_helper VALUES(1,4,NULL,'Maren');
INSERT INTO public_night_helper VALUES(1,40,3,'');
INSERT INTO public_night_helper VALUES(2,1,NULL,'Wren');
INSERT INTO public_night_helper VALUES(2,2,NULL,'Callum');
INSERT INTO public_night_helper VALUES(2,3,NULL,'Ottilie');
INSERT INTO public_night_helper VALUES(2,4,NULL,'Maren');
INSERT INTO public_night_helper VALUES(2,40,3,'');
INSERT INTO public_night_helper VALUES(3,1,NULL,'Tove');
INSERT INTO public_night_helper VALUES(3,2,NULL,'Idris');
INSERT INTO public_night_helper VALUES(3,40,3,'');
CREATE TABLE public_night_may_run (
    night_id INTEGER NOT NULL,
    number   INTEGER NOT NULL,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    PRIMARY KEY (night_id, number, item_id),
    FOREIGN KEY (night_id, number) REFERENCES public_night_helper (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO public_night_may_run VALUES(1,1,4);
INSERT INTO public_night_may_run VALUES(1,1,9);
INSERT INTO public_night_may_run VALUES(1,1,14);
INSERT INTO public_night_may_run VALUES(1,1,18);
INSERT INTO public_night_may_run VALUES(1,2,4);
INSERT INTO public_night_may_run VALUES(1,2,9);
INSERT INTO public_night_may_run VALUES(1,2,14);
INSERT INTO public_night_may_run VALUES(1,2,18);
INSERT INTO public_night_may_run VALUES(1,3,4);
INSERT INTO public_night_may_run VALUES(1,3,9);
INSERT INTO public_night_may_run VALUES(1,3,14);
INSERT INTO public_night_may_run VALUES(1,3,18);
INSERT INTO public_night_may_run VALUES(1,4,4);
INSERT INTO public_night_may_run VALUES(1,4,9);
INSERT INTO public_night_may_run VALUES(1,4,14);
INSERT INTO public_night_may_run VALUES(1,4,18);
INSERT INTO public_night_may_run VALUES(2,1,1);
INSERT INTO public_night_may_run VALUES(2,1,7);
INSERT INTO public_night_may_run VALUES(2,1,15);
INSERT INTO public_night_may_run VALUES(2,1,20);
INSERT INTO public_night_may_run VALUES(2,2,1);
INSERT INTO public_night_may_run VALUES(2,2,7);
INSERT INTO public_night_may_run VALUES(2,2,15);
INSERT INTO public_night_may_run VALUES(2,2,20);
INSERT INTO public_night_may_run VALUES(2,3,1);
INSERT INTO public_night_may_run VALUES(2,3,7);
INSERT INTO public_night_may_run VALUES(2,3,15);
INSERT INTO public_night_may_run VALUES(2,3,20);
INSERT INTO public_night_may_run VALUES(2,4,1);
INSERT INTO public_night_may_run VALUES(2,4,7);
INSERT INTO public_night_may_run VALUES(2,4,15);
INSERT INTO public_night_may_run VALUES(2,4,20);
INSERT INTO public_night_may_run VALUES(3,1,4);
INSERT INTO public_night_may_run VALUES(3,1,9);
INSERT INTO public_night_may_run VALUES(3,2,4);
INSERT INTO public_night_may_run VALUES(3,2,9);
CREATE TABLE public_night_station (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number   INTEGER NOT NULL CONSTRAINT public_night_station_number CHECK (number BETWEEN 1 AND 12),
    helper   INTEGER,
    -- What was done with the finder before it meets the Sun.
    finder   TEXT NOT NULL DEFAULT 'open' CONSTRAINT public_night_station_finder CHECK (
        finder IN ('open', 'capped', 'removed')
    ),
    by_hand  INTEGER NOT NULL DEFAULT 0 CONSTRAINT public_night_station_by_hand CHECK (by_hand IN (0, 1)),
    -- Why it was chosen, a list of sentences.
    why      TEXT NOT NULL DEFAULT '[]' CONSTRAINT public_night_station_why CHECK (json_valid(why)),
    PRIMARY KEY (night_id, number)
) STRICT, WITHOUT ROWID;
INSERT INTO public_night_station VALUES(1,1,1,'open',0,'[]');
INSERT INTO public_night_station VALUES(1,2,2,'open',0,'[]');
INSERT INTO public_night_station VALUES(1,3,3,'open',0,'[]');
INSERT INTO public_night_station VALUES(1,4,4,'open',0,'[]');
INSERT INTO public_night_station VALUES(2,1,1,'open',0,'[]');
INSERT INTO public_night_station VALUES(2,2,2,'open',0,'[]');
INSERT INTO public_night_station VALUES(2,3,3,'open',0,'[]');
INSERT INTO public_night_station VALUES(2,4,4,'open',0,'[]');
INSERT INTO public_night_station VALUES(3,1,1,'capped',0,'[]');
INSERT INTO public_night_station VALUES(3,2,2,'capped',0,'[]');
CREATE TABLE public_night_piece (
    night_id INTEGER NOT NULL,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    number   INTEGER NOT NULL,
    part     TEXT NOT NULL CONSTRAINT public_night_piece_part CHECK (
        part IN ('telescope', 'eyepiece', 'spare', 'filter')
    ),
    PRIMARY KEY (night_id, item_id),
    UNIQUE (night_id, number, part),
    FOREIGN KEY (night_id, number) REFERENCES public_night_station (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO public_night_piece VALUES(1,4,2,'telescope');
INSERT INTO public_night_piece VALUES(1,9,3,'telescope');
INSERT INTO public_night_piece VALUES(1,14,1,'telescope');
INSERT INTO public_night_piece VALUES(1,18,4,'telescope');
INSERT INTO public_night_piece VALUES(1,28,2,'spare');
INSERT INTO public_night_piece VALUES(1,31,1,'spare');
INSERT INTO public_night_piece VALUES(1,35,2,'eyepiece');
INSERT INTO public_night_piece VALUES(1,36,4,'eyepiece');
INSERT INTO public_night_piece VALUES(1,37,1,'eyepiece');
INSERT INTO public_night_piece VALUES(1,48,4,'spare');
INSERT INTO public_night_piece VALUES(1,49,3,'spare');
INSERT INTO public_night_piece VALUES(1,50,3,'eyepiece');
INSERT INTO public_night_piece VALUES(2,1,1,'telescope');
INSERT INTO public_night_piece VALUES(2,7,3,'telescope');
INSERT INTO public_night_piece VALUES(2,15,2,'telescope');
INSERT INTO public_night_piece VALUES(2,20,4,'telescope');
INSERT INTO public_night_piece VALUES(2,29,4,'spare');
INSERT INTO public_night_piece VALUES(2,33,2,'spare');
INSERT INTO public_night_piece VALUES(2,35,4,'eyepiece');
INSERT INTO public_night_piece VALUES(2,37,1,'spare');
INSERT INTO public_night_piece VALUES(2,38,3,'spare');
INSERT INTO public_night_piece VALUES(2,39,1,'eyepiece');
INSERT INTO public_night_piece VALUES(2,40,3,'eyepiece');
INSERT INTO public_night_piece VALUES(2,41,2,'eyepiece');
INSERT INTO public_night_piece VALUES(3,4,1,'telescope');
INSERT INTO public_night_piece VALUES(3,9,2,'telescope');
INSERT INTO public_night_piece VALUES(3,37,1,'spare');
INSERT INTO public_night_piece VALUES(3,40,1,'eyepiece');
INSERT INTO public_night_piece VALUES(3,50,2,'spare');
INSERT INTO public_night_piece VALUES(3,73,2,'eyepiece');
INSERT INTO public_night_piece VALUES(3,129,1,'filter');
INSERT INTO public_night_piece VALUES(3,130,2,'filter');
CREATE TABLE public_night_aim (
    night_id INTEGER NOT NULL,
    number   INTEGER NOT NULL,
    slot     INTEGER NOT NULL CONSTRAINT public_night_aim_slot CHECK (slot BETWEEN 0 AND 23),
    target   TEXT NOT NULL CONSTRAINT public_night_aim_target CHECK (length(target) BETWEEN 1 AND 60),
    PRIMARY KEY (night_id, number, slot),
    FOREIGN KEY (night_id, number) REFERENCES public_night_station (night_id, number)
        ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO public_night_aim VALUES(1,1,0,'zet UMa');
INSERT INTO public_night_aim VALUES(1,1,1,'zet UMa');
INSERT INTO public_night_aim VALUES(1,1,2,'zet UMa');
INSERT INTO public_night_aim VALUES(1,1,3,'zet UMa');
INSERT INTO public_night_aim VALUES(1,1,4,'zet UMa');
INSERT INTO public_night_aim VALUES(1,2,0,'gam And');
INSERT INTO public_night_aim VALUES(1,2,1,'gam And');
INSERT INTO public_night_aim VALUES(1,2,2,'gam And');
INSERT INTO public_night_aim VALUES(1,2,3,'gam And');
INSERT INTO public_night_aim VALUES(1,2,4,'gam And');
INSERT INTO public_night_aim VALUES(1,3,0,'bet Cyg');
INSERT INTO public_night_aim VALUES(1,3,1,'bet Cyg');
INSERT INTO public_night_aim VALUES(1,3,2,'bet Cyg');
INSERT INTO public_night_aim VALUES(1,3,3,'bet Cyg');
INSERT INTO public_night_aim VALUES(1,3,4,'bet Cyg');
INSERT INTO public_night_aim VALUES(1,4,0,'eps2 Lyr');
INSERT INTO public_night_aim VALUES(1,4,1,'eps2 Lyr');
INSERT INTO public_night_aim VALUES(1,4,2,'eps2 Lyr');
INSERT INTO public_night_aim VALUES(1,4,3,'eps2 Lyr');
INSERT INTO public_night_aim VALUES(1,4,4,'eps2 Lyr');
INSERT INTO public_night_aim VALUES(2,1,0,'gam And');
INSERT INTO public_night_aim VALUES(2,1,1,'gam And');
INSERT INTO public_night_aim VALUES(2,1,2,'gam And');
INSERT INTO public_night_aim VALUES(2,1,3,'gam And');
INSERT INTO public_night_aim VALUES(2,1,4,'gam And');
INSERT INTO public_night_aim VALUES(2,2,0,'bet Cyg');
INSERT INTO public_night_aim VALUES(2,2,1,'bet Cyg');
INSERT INTO public_night_aim VALUES(2,2,2,'bet Cyg');
INSERT INTO public_night_aim VALUES(2,2,3,'bet Cyg');
INSERT INTO public_night_aim VALUES(2,2,4,'bet Cyg');
INSERT INTO public_night_aim VALUES(2,3,0,'M 31');
INSERT INTO public_night_aim VALUES(2,3,1,'M 31');
INSERT INTO public_night_aim VALUES(2,3,2,'M 31');
INSERT INTO public_night_aim VALUES(2,3,3,'M 31');
INSERT INTO public_night_aim VALUES(2,3,4,'M 31');
INSERT INTO public_night_aim VALUES(2,4,0,'NGC 869');
INSERT INTO public_night_aim VALUES(2,4,1,'NGC 869');
INSERT INTO public_night_aim VALUES(2,4,2,'NGC 869');
INSERT INTO public_night_aim VALUES(2,4,3,'NGC 869');
INSERT INTO public_night_aim VALUES(2,4,4,'NGC 869');
INSERT INTO public_night_aim VALUES(3,1,0,'sun');
INSERT INTO public_night_aim VALUES(3,1,1,'sun');
INSERT INTO public_night_aim VALUES(3,1,2,'sun');
INSERT INTO public_night_aim VALUES(3,1,3,'sun');
INSERT INTO public_night_aim VALUES(3,1,4,'sun');
INSERT INTO public_night_aim VALUES(3,1,5,'sun');
INSERT INTO public_night_aim VALUES(3,2,0,'sun');
INSERT INTO public_night_aim VALUES(3,2,1,'sun');
INSERT INTO public_night_aim VALUES(3,2,2,'sun');
INSERT INTO public_night_aim VALUES(3,2,3,'sun');
INSERT INTO public_night_aim VALUES(3,2,4,'sun');
INSERT INTO public_night_aim VALUES(3,2,5,'sun');
CREATE TABLE public_night_after (
    night_id   INTEGER PRIMARY KEY REFERENCES public_night (id) ON DELETE CASCADE,
    visitors   INTEGER NOT NULL CONSTRAINT public_night_after_visitors CHECK (visitors BETWEEN 0 AND 5000),
    longest_wait_min INTEGER CONSTRAINT public_night_after_wait CHECK (longest_wait_min BETWEEN 0 AND 600),
    worked     TEXT NOT NULL DEFAULT '',
    better     TEXT NOT NULL DEFAULT '',
    written_at INTEGER NOT NULL
) STRICT;
CREATE TABLE public_night_count (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    number   INTEGER NOT NULL CONSTRAINT public_night_count_number CHECK (number BETWEEN 1 AND 12),
    visitors INTEGER NOT NULL CONSTRAINT public_night_count_visitors CHECK (visitors BETWEEN 0 AND 5000),
    PRIMARY KEY (night_id, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE public_night_broke (
    night_id INTEGER NOT NULL REFERENCES public_night (id) ON DELETE CASCADE,
    item_id  INTEGER NOT NULL REFERENCES item (id),
    finding  TEXT NOT NULL CONSTRAINT public_night_broke_finding CHECK (length(finding) BETWEEN 1 AND 1000),
    PRIMARY KEY (night_id, item_id)
) STRICT, WITHOUT ROWID;
CREATE TABLE public_night_rule (
    id             INTEGER PRIMARY KEY CHECK (id = 1),
    ahead_nights   INTEGER NOT NULL CONSTRAINT public_night_rule_ahead CHECK (ahead_nights BETWEEN 1 AND 366),
    -- Whether pieces that somebody only asked for, and nobody promised yet, go to the public night.
    before_requests INTEGER NOT NULL CONSTRAINT public_night_rule_requests CHECK (before_requests IN (0, 1)),
    version        INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO public_night_rule VALUES(1,366,1,1);
CREATE TABLE purchase_candidate (
    id                 INTEGER PRIMARY KEY AUTOINCREMENT,
    name               TEXT NOT NULL COLLATE NOCASE UNIQUE
        CONSTRAINT purchase_candidate_name CHECK (length(name) BETWEEN 1 AND 200),
    piece              TEXT NOT NULL
        CONSTRAINT purchase_candidate_piece CHECK (piece IN ('eyepiece', 'barlow')),
    -- In hundredths of the club's money.
    price_cents        INTEGER NOT NULL
        CONSTRAINT purchase_candidate_price CHECK (price_cents BETWEEN 0 AND 100000000),
    condition          TEXT
        CONSTRAINT purchase_candidate_condition CHECK (condition IN ('new', 'used')),
    -- How many one would buy at most.
    most               INTEGER NOT NULL DEFAULT 1
        CONSTRAINT purchase_candidate_most CHECK (most BETWEEN 1 AND 9),
    focal_length_mm    REAL,
    apparent_field_deg REAL,
    field_stop_mm      REAL,
    eye_relief_mm      REAL,
    barrel_mm          REAL,
    optical_class      TEXT,
    mass_g             REAL,
    factor             REAL,
    kind               TEXT,
    CONSTRAINT purchase_candidate_figures CHECK (
        (piece = 'eyepiece') = (focal_length_mm IS NOT NULL)
        AND (piece = 'barlow') = (factor IS NOT NULL)
    )
) STRICT;
INSERT INTO purchase_candidate VALUES(1,'4 mm, long relief, used','eyepiece',8500,'used',1,4.0,60.0,NULL,20.0,31.749999999999999999,'wide_field',190.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(2,'5 mm wide-field','eyepiece',14000,'new',1,5.0,82.0,NULL,13.0,31.749999999999999999,'wide_field',200.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(3,'7 mm wide-field, long relief','eyepiece',16500,'new',2,7.0,65.0,NULL,20.0,31.749999999999999999,'wide_field',210.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(4,'9 mm, 72° and long relief','eyepiece',18900,'new',1,9.0,72.0,NULL,20.0,31.749999999999999999,'wide_field',260.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(5,'11 mm, long relief, from a member','eyepiece',7000,'used',1,11.0,60.0,NULL,20.0,31.749999999999999999,'wide_field',180.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(6,'13 mm wide-field, long relief','eyepiece',17500,'new',1,13.0,68.0,NULL,20.0,31.749999999999999999,'wide_field',245.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(7,'16 mm, 68°','eyepiece',9500,'used',1,16.0,68.0,NULL,16.0,31.749999999999999999,'wide_field',180.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(8,'20 mm, 70°, long relief','eyepiece',15000,'new',2,20.0,70.0,NULL,20.0,31.749999999999999999,'wide_field',300.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(9,'24 mm, widest field of its barrel','eyepiece',15500,'used',1,24.0,65.0,27.0,18.0,31.749999999999999999,'wide_field',280.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(10,'30 mm, 72°, wide barrel','eyepiece',19500,'new',1,30.0,72.0,NULL,22.0,50.799999999999997158,'wide_field',540.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(11,'35 mm, 69°, wide barrel, used','eyepiece',16000,'used',1,35.0,69.0,NULL,24.0,50.799999999999997158,'wide_field',620.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(12,'32 mm four-element','eyepiece',2800,'new',3,32.0,50.0,NULL,20.0,31.749999999999999999,'four_element',130.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(13,'10 mm four-element','eyepiece',2400,'used',2,10.0,50.0,NULL,7.0,31.749999999999999999,'four_element',80.0,NULL,NULL);
INSERT INTO purchase_candidate VALUES(14,'2× telecentric, wide barrel','barlow',14500,'new',1,NULL,NULL,NULL,NULL,50.799999999999997158,NULL,320.0,2.0,'telecentric');
INSERT INTO purchase_candidate VALUES(15,'1.6× Barlow, short','barlow',4500,'used',1,NULL,NULL,NULL,NULL,31.749999999999999999,NULL,90.0,1.6000000000000000888,'plain');
CREATE TABLE purchase_sale (
    item_id     INTEGER PRIMARY KEY REFERENCES item (id) ON DELETE CASCADE,
    price_cents INTEGER NOT NULL
        CONSTRAINT purchase_sale_price CHECK (price_cents BETWEEN 0 AND 100000000)
) STRICT;
INSERT INTO purchase_sale VALUES(42,2500);
INSERT INTO purchase_sale VALUES(75,3000);
INSERT INTO purchase_sale VALUES(118,2000);
CREATE TABLE purchase_job (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    budget_cents INTEGER NOT NULL
        CONSTRAINT purchase_job_budget CHECK (budget_cents BETWEEN 0 AND 100000000),
    state        TEXT NOT NULL DEFAULT 'waiting' CONSTRAINT purchase_job_state CHECK (
        state IN ('waiting', 'running', 'done', 'cancelled', 'failed')
    ),
    asked_at     INTEGER NOT NULL CONSTRAINT purchase_job_asked CHECK (asked_at >= 0),
    ended_at     INTEGER,
    -- Where it has got to, in words and in thousandths.
    stage        TEXT NOT NULL DEFAULT '',
    thousandths  INTEGER NOT NULL DEFAULT 0
        CONSTRAINT purchase_job_thousandths CHECK (thousandths BETWEEN 0 AND 1000),
    -- A mark of all facts it was computed from: with other facts nothing kept is used again.
    mark         TEXT NOT NULL DEFAULT '',
    -- The report as JSON, when it is done.
    report       TEXT,
    CONSTRAINT purchase_job_ended CHECK ((ended_at IS NULL) = (state IN ('waiting', 'running'))),
    CONSTRAINT purchase_job_reported CHECK ((report IS NOT NULL) = (state = 'done'))
) STRICT;
CREATE TABLE purchase_point (
    job_id       INTEGER NOT NULL REFERENCES purchase_job (id) ON DELETE CASCADE,
    budget_cents INTEGER NOT NULL,
    found        TEXT NOT NULL,
    PRIMARY KEY (job_id, budget_cents)
) STRICT, WITHOUT ROWID;
PRAGMA writable_schema=ON;
INSERT INTO sqlite_schema(type,name,tbl_name,rootpage,sql)VALUES('table','item_text','item_text',0,'CREATE VIRTUAL TABLE item_text USING fts5 (
    tag, name, words, notes, place,
    tokenize = "unicode61 remove_diacritics 2",
    prefix = ''2 3''
)');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('reservation',30);
INSERT INTO sqlite_sequence VALUES('lending_event',53);
INSERT INTO sqlite_sequence VALUES('item',161);
INSERT INTO sqlite_sequence VALUES('member',54);
INSERT INTO sqlite_sequence VALUES('upkeep',6);
INSERT INTO sqlite_sequence VALUES('inspection',5);
INSERT INTO sqlite_sequence VALUES('stock_count',1);
INSERT INTO sqlite_sequence VALUES('loan',13);
INSERT INTO sqlite_sequence VALUES('custody',60);
INSERT INTO sqlite_sequence VALUES('club_block',1);
INSERT INTO sqlite_sequence VALUES('wait_place',2);
INSERT INTO sqlite_sequence VALUES('letter',10);
INSERT INTO sqlite_sequence VALUES('public_night',3);
INSERT INTO sqlite_sequence VALUES('purchase_candidate',15);
CREATE INDEX filter_by_telescope ON filter (fits_telescope_id)
    WHERE fits_telescope_id IS NOT NULL;
CREATE INDEX session_by_account ON session (account_id);
CREATE INDEX session_by_expiry ON session (expires_at);
CREATE INDEX access_token_by_account ON access_token (account_id);
CREATE INDEX sign_in_failure_by_age ON sign_in_failure (last_at);
CREATE INDEX audit_by_time ON audit (at, id);
CREATE INDEX audit_by_account ON audit (account, at, id);
CREATE INDEX audit_by_subject ON audit (subject_kind, subject_id, at, id);
CREATE INDEX audit_by_deed ON audit (deed, at, id);
CREATE INDEX audit_with_whole_address ON audit (at)
    WHERE address IS NOT NULL AND substr(address, -1) <> '*';
CREATE INDEX letter_due ON letter (next_at, id) WHERE state = 'waiting';
CREATE INDEX letter_under_way ON letter (id) WHERE state = 'sending';
CREATE INDEX letter_in_trouble ON letter (id) WHERE state IN ('refused', 'unclear');
CREATE INDEX letter_by_member ON letter (member_id, id) WHERE member_id IS NOT NULL;
CREATE INDEX letter_by_account ON letter (account_id, id) WHERE account_id IS NOT NULL;
CREATE INDEX half_sign_in_by_account ON half_sign_in (account_id);
CREATE INDEX mail_link_by_account ON mail_link (account_id, purpose);
CREATE INDEX guardian_by_recorder ON guardian (recorded_by);
CREATE INDEX adult_proof_by_recorder ON adult_proof (recorded_by);
CREATE INDEX own_telescope_by_member ON own_telescope (member_id);
CREATE INDEX own_eyepiece_by_member ON own_eyepiece (member_id);
CREATE INDEX item_by_kind ON item (kind, asset_tag);
CREATE INDEX item_change_by_account ON item_change (changed_by) WHERE changed_by IS NOT NULL;
CREATE INDEX reservation_by_member ON reservation (member_id, first_night);
CREATE INDEX reservation_going_on ON reservation (state, first_night)
    WHERE state IN ('requested', 'confirmed', 'ready', 'out');
CREATE INDEX reservation_item_by_item ON reservation_item (item_id);
CREATE INDEX item_night_by_reservation ON item_night (reservation_id, item_id)
    WHERE reservation_id IS NOT NULL;
CREATE INDEX item_night_by_holder ON item_night (kind, holder_id) WHERE holder_id IS NOT NULL;
CREATE UNIQUE INDEX custody_is_one ON custody (item_id) WHERE returned_at IS NULL;
CREATE INDEX custody_by_member ON custody (member_id, returned_at);
CREATE INDEX lending_event_by_reservation ON lending_event (reservation_id, id);
CREATE INDEX kept_answer_by_age ON kept_answer (created_at);
CREATE INDEX item_training_by_member ON item_training (member_id);
CREATE UNIQUE INDEX site_main ON site (is_main) WHERE is_main = 1;
CREATE INDEX inspection_by_item ON inspection (item_id, day);
CREATE INDEX inspection_by_account ON inspection (noted_by) WHERE noted_by IS NOT NULL;
CREATE INDEX upkeep_by_item ON upkeep (item_id);
CREATE INDEX custody_by_item ON custody (item_id, handed_at);
CREATE INDEX item_paper_by_owner ON item_paper (owner_id) WHERE owner_id IS NOT NULL;
CREATE INDEX item_paper_by_custodian ON item_paper (custodian_id) WHERE custodian_id IS NOT NULL;
CREATE UNIQUE INDEX stock_count_is_one ON stock_count ((1)) WHERE ended_at IS NULL;
CREATE INDEX stock_count_by_starter ON stock_count (started_by) WHERE started_by IS NOT NULL;
CREATE INDEX stock_count_by_ender ON stock_count (ended_by) WHERE ended_by IS NOT NULL;
CREATE INDEX stock_seen_by_item ON stock_seen (item_id);
CREATE INDEX stock_seen_by_account ON stock_seen (seen_by) WHERE seen_by IS NOT NULL;
CREATE INDEX stock_line_by_item ON stock_line (item_id);
CREATE INDEX photo_by_item ON photo (item_id);
CREATE INDEX photo_by_inspection ON photo (inspection_id) WHERE inspection_id IS NOT NULL;
CREATE INDEX photo_by_account ON photo (added_by) WHERE added_by IS NOT NULL;
CREATE INDEX wait_place_open ON wait_place (asked_at, id) WHERE state IN ('waiting', 'offered');
CREATE INDEX wait_place_by_member ON wait_place (member_id, id);
CREATE INDEX reservation_open_by_member ON reservation (member_id)
    WHERE state IN ('requested', 'confirmed', 'ready', 'out');
CREATE INDEX reservation_newest_by_member ON reservation (member_id, id);
CREATE INDEX reservation_item_under_way ON reservation_item (item_id, reservation_id)
    WHERE state IN ('planned', 'out');
CREATE INDEX item_out_of_service ON item (id) WHERE state <> 'in_service';
CREATE INDEX reservation_by_site ON reservation (site_id) WHERE site_id IS NOT NULL;
CREATE INDEX public_night_by_date ON public_night (on_date, id);
CREATE INDEX public_night_by_site ON public_night (site_id) WHERE site_id IS NOT NULL;
CREATE INDEX public_night_by_reservation ON public_night (reservation_id)
    WHERE reservation_id IS NOT NULL;
CREATE INDEX public_night_helper_by_member ON public_night_helper (member_id)
    WHERE member_id IS NOT NULL;
CREATE INDEX purchase_job_open ON purchase_job (id) WHERE state IN ('waiting', 'running');
CREATE TRIGGER audit_is_never_deleted BEFORE DELETE ON audit
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never deleted');
END;
CREATE TRIGGER audit_is_never_replaced BEFORE INSERT ON audit
WHEN EXISTS (SELECT 1 FROM audit WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never replaced');
END;
CREATE TRIGGER audit_is_never_changed BEFORE UPDATE ON audit
WHEN NOT (
    NEW.id IS OLD.id AND NEW.at IS OLD.at AND NEW.account IS OLD.account
    AND NEW.means IS OLD.means AND NEW.deed IS OLD.deed
    AND NEW.subject_kind IS OLD.subject_kind AND NEW.subject_id IS OLD.subject_id
    AND NEW.detail IS OLD.detail
    -- Shortening alone is allowed: the old address's beginning, then a star, and only once.
    AND OLD.address IS NOT NULL AND NEW.address IS NOT NULL
    AND substr(OLD.address, -1) <> '*' AND substr(NEW.address, -1) = '*'
    AND length(NEW.address) <= length(OLD.address)
    AND substr(OLD.address, 1, length(NEW.address) - 1)
        = substr(NEW.address, 1, length(NEW.address) - 1)
)
BEGIN
    SELECT RAISE(ABORT, 'audit entries are never changed');
END
;
CREATE TRIGGER lending_event_stays BEFORE UPDATE ON lending_event
BEGIN
    SELECT RAISE(ABORT, 'what happened is never rewritten');
END;
CREATE TRIGGER stock_line_stays BEFORE UPDATE ON stock_line
BEGIN
    SELECT RAISE(ABORT, 'what was counted is never rewritten');
END;
CREATE TRIGGER public_night_aim_at_sun BEFORE INSERT ON public_night_aim
WHEN lower(NEW.target) = 'sun' AND (
    NOT EXISTS (SELECT 1 FROM public_night_piece AS piece
                WHERE piece.night_id = NEW.night_id AND piece.number = NEW.number
                  AND piece.part = 'filter')
    OR NOT EXISTS (SELECT 1 FROM public_night AS night
                   WHERE night.id = NEW.night_id AND night.kind = 'solar'))
BEGIN
    SELECT RAISE(ABORT, 'the Sun is no target without a filter on a night for the Sun');
END;
CREATE TRIGGER public_night_aim_turned_to_sun BEFORE UPDATE ON public_night_aim
BEGIN
    SELECT RAISE(ABORT, 'what a station shows is written afresh, never turned');
END;
CREATE TRIGGER public_night_turned_from_sun BEFORE UPDATE OF kind ON public_night
WHEN NEW.kind <> 'solar' AND EXISTS (SELECT 1 FROM public_night_aim AS aim
                                     WHERE aim.night_id = NEW.id AND lower(aim.target) = 'sun')
BEGIN
    SELECT RAISE(ABORT, 'the Sun is a target of this night');
END;
CREATE TRIGGER public_night_filter_taken BEFORE DELETE ON public_night_piece
WHEN OLD.part = 'filter' AND EXISTS (SELECT 1 FROM public_night_aim AS aim
                                     WHERE aim.night_id = OLD.night_id AND aim.number = OLD.number
                                       AND lower(aim.target) = 'sun')
BEGIN
    SELECT RAISE(ABORT, 'the Sun is a target at this station');
END;
PRAGMA writable_schema=OFF;
COMMIT;
